import { expect, it } from 'vitest';
import { pageWords } from '../../../src/views/words/voice.ts';
import { sampleLetters } from '../../views/letters/sample-letters.ts';
import { broadKindOf } from './crawl.ts';
import { isEnglish, textsOf } from './english-texts.ts';
import { tryGermanPages } from './german-pages.ts';
import { isoDaysInLetter } from './iso-days.ts';

// A first look; `german-pages.long.test.ts` reads four pages of each kind, every part in stock and the talk about every fault.
tryGermanPages({ ofAKind: 1, everyFault: 8, kindOf: broadKindOf });

it('no kind of letter has a day as programs write it', () => {
  const letters = sampleLetters();
  expect(letters.flatMap(({ kind, letter }) => isoDaysInLetter({ kind, ...letter }))).toEqual([]);
  expect(letters.length).toBeGreaterThan(10);
});

it('would show an English text in them', () => {
  const html =
    '<html lang="de"><main><p>Öl fällig</p><p aria-label="Way of the day">Ring <b>her</b> on Monday</p></main>';
  expect(textsOf(html).filter(isEnglish)).toEqual(['Ring her on Monday', 'Way of the day']);
  const german = Object.values(pageWords().get('de') ?? {}).flatMap((phrase) =>
    typeof phrase === 'string' ? [phrase] : Object.values(phrase),
  );
  expect(german.filter((text) => isEnglish(text.replaceAll(/\{\{\w+\}\}/g, '')))).toEqual([]);
});
