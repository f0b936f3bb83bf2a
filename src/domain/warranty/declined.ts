import type { Day } from '../calendar/day.ts';

/** What came of an advice. */
export const OUTCOMES = ['advised', 'accepted', 'declined', 'done'] as const;
export type Outcome = (typeof OUTCOMES)[number];

/** One entry about work advised on a visit. */
export interface AdvisedWork {
  /** Fault id, or the words of the finding where no fault row fits. */
  readonly fault: string;
  readonly pivotCode?: string | null | undefined;
  readonly advised: string;
  readonly outcome: Outcome;
  /** The day of this outcome. */
  readonly on: Day;
}

export interface DeclinedWork {
  readonly fault: string;
  readonly pivotCode: string | null;
  readonly advised: string;
  /** When it was first declined and not taken up since, and when last. */
  readonly firstOn: Day;
  readonly lastOn: Day;
  readonly times: number;
}

/**
 * Work that was advised and declined and has not been accepted or done since, longest standing
 * first. Advising it again does not undo the refusal; accepting or doing it does. Entries of one
 * day count in the order given.
 */
export function declinedWork(entries: readonly AdvisedWork[]): DeclinedWork[] {
  const open = new Map<string, DeclinedWork>();
  const inOrder = entries.toSorted((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0));
  for (const { fault, pivotCode = null, advised, outcome, on } of inOrder) {
    const key = JSON.stringify([fault, pivotCode]);
    const before = open.get(key);
    if (outcome === 'declined') {
      open.set(key, {
        fault,
        pivotCode,
        advised,
        firstOn: before?.firstOn ?? on,
        lastOn: on,
        times: (before?.times ?? 0) + 1,
      });
    } else if (outcome !== 'advised') {
      open.delete(key);
    }
  }
  return [...open.values()].sort((a, b) => (a.firstOn < b.firstOn ? -1 : 1));
}
