import { cautionsFor, type Work } from '../../../domain/cautions/cautions.ts';
import type { Voice } from '../../../views/words/voice.ts';

/** The cautions that belong to kinds of work, the handbook's first. */
export function cautionWords({ language }: Voice, ...works: readonly Work[]): string[] {
  const { first, cautions } = cautionsFor(...works);
  const spoken = language === 'de' ? 'de' : 'en';
  return [
    first[spoken],
    ...cautions.map(({ hazard, show }) => `${hazard[spoken]}. ${show[spoken]}`),
  ];
}
