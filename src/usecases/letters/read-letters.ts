import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { notFound } from '../../domain/refusal.ts';
import type { WholeLetter } from '../../store/letters/letter-rows.ts';
import { carsByLetter, findLetter, lettersAfter } from '../../store/letters/letter-lists.ts';
import { liesInTray } from '../../mail/tray.ts';
import type { Caller, Context } from '../context/context.ts';
import { mayReadLinks } from '../context/context.ts';
import { withoutTokens } from '../context/links.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';

export const LETTER_STATES = [
  'planned',
  'sending',
  'unknown',
  'delivered',
  'failed',
  'cancelled',
] as const;
export type LetterState = (typeof LETTER_STATES)[number];

export interface LetterRecord {
  readonly id: string;
  readonly kind: LetterKind;
  readonly state: LetterState;
  readonly cancelledWhy: string | null;
  readonly ownerId: string;
  readonly carIds: string[];
  readonly to: { readonly name: string; readonly address: string };
  readonly language: string;
  readonly subject: string;
  readonly text: string;
  readonly html: string;
  readonly messageId: string;
  readonly date: string;
  readonly plannedAt: string;
  readonly notBefore: string;
  readonly attempts: number;
  readonly nextTryAt: string | null;
  readonly settledAt: string | null;
  readonly response: string | null;
  readonly fault: string | null;
}

export function letterRecordOf(row: WholeLetter, carIds: readonly string[]): LetterRecord {
  return {
    id: row.id,
    kind: row.kind,
    state: row.state as LetterState,
    cancelledWhy: row.cancelledWhy,
    ownerId: row.ownerId,
    carIds: [...carIds],
    to: { name: row.toName, address: row.toAddress },
    language: row.language,
    subject: row.subject,
    text: row.text,
    html: row.html,
    messageId: row.messageId,
    date: row.messageDate,
    plannedAt: row.plannedAt,
    notBefore: row.notBefore,
    attempts: row.attempts,
    nextTryAt: row.nextTryAt,
    settledAt: row.settledAt,
    response: row.response,
    fault: row.fault,
  };
}

/** Whether a letter that counts as sent lies in the mail tray, so that nobody was written to. */
export function isInTray({ response }: Pick<LetterRecord, 'response'>): boolean {
  return liesInTray(response);
}

/** One letter, whole. */
export async function showLetter(
  context: Context,
  caller: Caller,
  id: string,
): Promise<LetterRecord> {
  const { sql } = context.store;
  const row = await findLetter(sql, caller.organisationId, id);
  if (row === null) throw notFound('letter');
  return shownTo(caller, letterRecordOf(row, (await carsByLetter(sql, [id])).get(id) ?? []));
}

/** A letter as a caller may see it: its links act for the owner alone. */
function shownTo(caller: Caller, letter: LetterRecord): LetterRecord {
  if (mayReadLinks(caller)) return letter;
  return { ...letter, text: withoutTokens(letter.text), html: withoutTokens(letter.html) };
}

/** Letters of the caller's organisation in the order they were written, by state or by car. */
export async function listLetters(
  context: Context,
  caller: Caller,
  request: PageRequest & { state?: LetterState | undefined; carId?: string | undefined },
): Promise<Page<LetterRecord>> {
  const { sql } = context.store;
  const [from = ''] = partsOfCursor(request.after, ['id']) ?? [''];
  const { state, carId, limit } = request;
  const rows = await lettersAfter(sql, caller.organisationId, {
    after: from,
    most: limit + 1,
    state,
    carId,
  });
  const cars = await carsByLetter(
    sql,
    rows.map((row) => row.id),
  );
  return pageOf(
    rows,
    limit,
    (row) => shownTo(caller, letterRecordOf(row, cars.get(row.id) ?? [])),
    (row) => [row.id],
  );
}
