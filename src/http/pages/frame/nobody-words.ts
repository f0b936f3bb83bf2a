import type { Voice } from '../../../views/words/voice.ts';

/** Said of a car whose owner was erased: nobody can be written to, and what to do about it. */
export interface NobodyModel {
  readonly words: string;
  /** Where the car is given to its new owner; null for whoever may not. */
  readonly href: string | null;
}

/** Null while the car has an owner. `gives`: whoever looks may give it to another. */
export function nobodyLeft(
  { erased, carId, gives }: { erased: boolean; carId: string; gives: boolean },
  { say }: Voice,
): NobodyModel | null {
  if (!erased) return null;
  return { words: say('nobody.words'), href: gives ? `/cars/${carId}/change#sold` : null };
}
