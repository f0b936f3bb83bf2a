import { lettersByKind } from '../../store/letters/letter-lists.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { msOf, toInstant } from '../../domain/calendar/instant.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { LETTER_KINDS } from '../../domain/round/letter-kind.ts';
import type { Context } from '../context/context.ts';

export interface LetterTally {
  readonly kinds: readonly { readonly kind: LetterKind; readonly count: number }[];
  readonly written: number;
  readonly waiting: number;
  /** When the first of those that wait may leave. */
  readonly nextAt: Instant | null;
}

// Well behind what the demo writes, and well after the letters of its story, which lie in no mail tray.
const OF_LATE_DAYS = 30;
const DAY_MS = 86_400_000;

/**
 * The letters of the last thirty days by kind, cancelled ones left out, and how many have still to leave.
 */
export async function tallyLetters(context: Context): Promise<LetterTally> {
  const since = toInstant(msOf(context.now()) - OF_LATE_DAYS * DAY_MS);
  const rows = await lettersByKind(context.store.sql, since);
  const sum = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0);
  return {
    kinds: LETTER_KINDS.flatMap((kind) =>
      rows.filter((row) => row.kind === kind).map(({ count }) => ({ kind, count })),
    ),
    written: sum(rows.map(({ count }) => count)),
    waiting: sum(rows.map(({ waiting }) => waiting)),
    nextAt: rows.reduce<Instant | null>(
      (next, row) =>
        row.nextAt !== null && (next === null || row.nextAt < next) ? row.nextAt : next,
      null,
    ),
  };
}
