import type { LetterKind } from './letter-kind.ts';

/** It is true still, and its words may not be: what stands in it was changed. */
export const WORDS_CHANGED = 'what it tells of was changed';
/** It lists work that was open, and the list is another now. */
export const WORK_CHANGED = 'the work that is open has changed';

// No round writes these: the deed that changes what they tell of does.
const OF_DEEDS: readonly LetterKind[] = [
  'visit-booked',
  'visit-moved',
  'visit-called-off',
  'visit-report',
  'club-letter',
];

/** Whether the next round writes a letter anew that was cancelled for this reason, where it is still owed. */
export function isWrittenAnew(kind: LetterKind, why: string | null): boolean {
  return (why === WORDS_CHANGED || why === WORK_CHANGED) && !OF_DEEDS.includes(kind);
}
