import { expect, test } from 'vitest';
import { USUALLY_EXCLUDED, usualTermsInWords } from '../../../src/domain/warranty/usual-terms.ts';
import { FRAME_PATTERNS } from '../../../src/domain/pivots/frame-patterns.ts';
import { toldWords } from '../../../src/views/words/told.ts';

test('what rules list for a form is told in every language', () => {
  const listed = [
    ...usualTermsInWords(),
    ...USUALLY_EXCLUDED,
    ...Object.values(FRAME_PATTERNS).map(({ name }) => name.replaceAll('-', ' ')),
  ];
  const untold = [...toldWords()].flatMap(([language, told]) =>
    listed.filter((words) => !Object.hasOwn(told, words)).map((words) => `${language}: ${words}`),
  );
  expect(toldWords().size).toBeGreaterThan(0);
  expect(untold).toEqual([]);
});
