import type { Wording } from '../../../domain/advice/advice.ts';
import { cautionsFor, type Work } from '../../../domain/cautions/cautions.ts';
import type { Voice } from '../../../views/words/voice.ts';

/** Cautions in both languages, with what stands above them. */
export interface CautionFacts {
  readonly first: Wording;
  readonly cautions: readonly { readonly hazard: Wording; readonly show: Wording }[];
}

/** The cautions that belong to kinds of work, the handbook's first. */
export function cautionWords(voice: Voice, ...works: readonly Work[]): string[] {
  return cautionLines(voice, cautionsFor(...works));
}

/** Cautions as a page lists them, the handbook's first. */
export function cautionLines({ language }: Voice, { first, cautions }: CautionFacts): string[] {
  const spoken = language === 'de' ? 'de' : 'en';
  return [
    first[spoken],
    ...cautions.map(({ hazard, show }) => `${hazard[spoken]}. ${show[spoken]}`),
  ];
}
