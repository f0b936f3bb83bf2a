import type { Wording } from '../../../domain/advice/advice.ts';
import { atTop, cautionsFor, type Work } from '../../../domain/cautions/cautions.ts';
import type { Voice } from '../../../views/words/voice.ts';

/** Cautions in both languages, with what stands above them. */
export interface CautionFacts {
  readonly first: Wording;
  readonly cautions: readonly { readonly hazard: Wording; readonly show: Wording }[];
}

/**
 * The cautions that belong to kinds of work on a top, the handbook's first. Of a motor nothing is said
 * where the top is known to have none.
 */
export function cautionWords(
  voice: Voice,
  powered: boolean | undefined,
  ...works: readonly Work[]
): string[] {
  const { first, cautions } = cautionsFor(...works);
  return cautionLines(voice, { first, cautions: atTop(cautions, powered) });
}

/** Cautions as a page lists them, the handbook's first. */
export function cautionLines({ language }: Voice, { first, cautions }: CautionFacts): string[] {
  const spoken = language === 'de' ? 'de' : 'en';
  return [
    first[spoken],
    ...cautions.map(({ hazard, show }) => `${hazard[spoken]}. ${show[spoken]}`),
  ];
}
