import type { LetterKind } from '../../../src/views/letters/models.ts';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
import type { WrittenLetter } from '../../../src/views/letters/render.ts';
import { renderLetter } from '../../../src/views/letters/render.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import { wordsByLanguage } from '../../../src/views/words/words.ts';

/** Every kind in every language, written from the samples. Throws at the first that has a gap. */
export function sampleLetters(): { kind: LetterKind; language: string; letter: WrittenLetter }[] {
  return [...wordsByLanguage().keys()].flatMap((language) =>
    LETTER_KINDS.map((kind) => ({
      kind,
      language,
      letter: renderLetter(kind, sampleModel(kind, language)),
    })),
  );
}
