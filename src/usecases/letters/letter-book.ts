import type { Instant } from '../../domain/calendar/instant.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import type { BookedLetterRow } from '../../store/letters/letter-book-rows.ts';
import { lettersNewestFirst, ownerNamed } from '../../store/letters/letter-book-rows.ts';
import { liesInTray } from '../../mail/tray.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';
import type { LetterState } from './read-letters.ts';

/** Heaps of letters that somebody looks for, and the states that lie in each. */
export const LETTER_HEAPS = {
  waiting: ['planned', 'sending'],
  sent: ['delivered'],
  stuck: ['failed', 'unknown'],
  withdrawn: ['cancelled'],
} as const satisfies Record<string, readonly LetterState[]>;
export type LetterHeap = keyof typeof LETTER_HEAPS;

/** A letter as it stands in the book: what became of it, without its text. */
export interface BookedLetterRecord {
  readonly id: string;
  readonly kind: LetterKind;
  readonly state: LetterState;
  readonly subject: string;
  /** Language tag of its words. */
  readonly language: string;
  readonly ownerId: string;
  readonly toName: string;
  readonly toAddress: string;
  readonly plannedAt: Instant;
  /** It leaves no sooner; what it waits for beyond that is its next try. */
  readonly notBefore: Instant;
  readonly nextTryAt: Instant | null;
  readonly settledAt: Instant | null;
  readonly attempts: number;
  /** No mail server was set: it lies in the mail tray, and nobody was written to. */
  readonly inTray: boolean;
  /** Why it was withdrawn, or what stood in its way; null where nothing did. */
  readonly why: string | null;
}

/**
 * Letters of the caller's organisation, the newest first: of one heap, or all; to one owner, or
 * everybody. An owner's whole history stays, whatever became of the letters.
 */
export async function readLetterBook(
  context: Context,
  { organisationId }: Caller,
  asked: PageRequest & {
    readonly heap?: LetterHeap | undefined;
    readonly ownerId?: string | undefined;
  },
): Promise<Page<BookedLetterRecord> & { readonly owner: string | null }> {
  const { sql } = context.store;
  const { heap, ownerId, limit } = asked;
  const [before] = partsOfCursor(asked.after, ['id']) ?? [];
  const rows = await lettersNewestFirst(sql, organisationId, {
    states: heap === undefined ? [] : LETTER_HEAPS[heap],
    ownerId,
    before,
    most: limit + 1,
  });
  const owner = ownerId === undefined ? null : await ownerNamed(sql, organisationId, ownerId);
  return { ...pageOf(rows, limit, recordOf, ({ id }) => [id]), owner };
}

function recordOf({
  cancelledWhy,
  fault,
  state,
  response,
  ...row
}: BookedLetterRow): BookedLetterRecord {
  const inTray = liesInTray(response);
  return { ...row, state: state as LetterState, inTray, why: cancelledWhy ?? fault };
}
