import { expect, it } from 'vitest';
import { KnownTexts } from '../../src/store/database/known-texts.ts';

it('what is made of a text is made once, and never more than 300 are kept', () => {
  let made = 0;
  const known = new KnownTexts((text) => `${text} ${++made}`);
  expect([known.of('a'), known.of('a'), known.of('b')]).toEqual(['a 1', 'a 1', 'b 2']);
  for (let length = 0; length < 5_000; length += 1) {
    known.of(`IN (${'?, '.repeat(length)})`);
    expect(known.size).toBeLessThanOrEqual(300);
  }
  expect(made).toBe(5_002);
});
