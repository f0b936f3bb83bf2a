import { expect, it } from 'vitest';
import { renderLetter, writeWhole } from '../../../src/views/letters/render.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import type { Overrides } from '../../../src/views/letters/slots.ts';
import { RenderRefused } from '../../../src/views/words/refused.ts';
import { tryForms } from './form-letter.ts';
import { writeLetter } from './reading.ts';

// A first look; `form-letter.long.test.ts` tries every field and twenty times as many readers.
tryForms({ readers: 3, everyField: 20 });

it('keeps kinds with like models apart', () => {
  const [model, ...kinds] = [sampleModel('lubrication-ahead'), 'ahead', 'due', 'late'] as const;
  for (const kind of kinds.map((name) => `lubrication-${name}` as const)) {
    expect(renderLetter(kind, model)).toEqual(writeWhole(kind, model, {}));
  }
});

it('keeps the wordings of organisations apart', () => {
  const model = sampleModel('care-note');
  const wordings: Overrides[] = [{}, { lead: 'Ours' }, { why: 'Ours' }, { lead: 'Theirs' }];
  const letters = wordings.map((own) => renderLetter('care-note', model, own));
  expect(new Set(letters.map(({ html }) => html)).size).toBe(4);
  expect(new Set(letters.map(({ text }) => text)).size).toBe(4);
});

it('refuses a model that is none, with and without a form to hand', () => {
  for (const model of [null, undefined, {}, [], 'x', { cars: [null], owner: null, links: 1 }]) {
    expect(() => writeLetter('care-note', model)).toThrow(RenderRefused);
  }
});
