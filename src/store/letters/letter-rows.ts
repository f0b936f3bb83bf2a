import type { Instant } from '../../domain/calendar/instant.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { kindInKey } from '../../domain/round/letter-kind.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, insertRows } from '../database/sql.ts';

/** A letter as it is stored, with its Message-ID and Date fixed before the first attempt. */
export type LetterRow = {
  id: string;
  organisationId: string;
  ownerId: string;
  kind: LetterKind;
  state: string;
  cancelledWhy: string | null;
  language: string;
  toName: string;
  toAddress: string;
  addressHash: string;
  topic: string;
  subject: string;
  stopUrl: string | null;
  messageId: string;
  messageDate: Instant;
  /** Message-IDs of the earlier letters on the same matter, oldest first, between spaces. */
  refersTo: string | null;
  plannedAt: Instant;
  notBefore: Instant;
  attempts: number;
  nextTryAt: Instant | null;
  leaseUntil: Instant | null;
  leaseToken: string | null;
  leaseHolder: string | null;
  /** When the first attempt began that a mail server answered: what its patience counts from. */
  firstTriedAt: Instant | null;
  startedAt: Instant | null;
  settledAt: Instant | null;
  resends: number;
  response: string | null;
  fault: string | null;
};

/** What a letter says, in a table of its own: it stays as it was written while the letter's row changes. */
export type LetterBody = {
  text: string;
  html: string;
  /** An object for the owner's calendar as JSON. */
  calendar: string | null;
};

/** A letter with what it says. */
export type WholeLetter = LetterRow & LetterBody;

export interface NewOccasion {
  readonly key: string;
  readonly carId: string | null;
}

/**
 * Stores letters with the occasions they are about. An occasion that another round wrote about
 * meanwhile makes the whole letter void: it is left out, and the next round writes about the rest.
 * Returns the ids of the letters that were stored.
 */
export async function storeLetters(
  sql: Sql,
  letters: readonly { letter: WholeLetter; occasions: readonly NewOccasion[] }[],
): Promise<Set<string>> {
  const keys = letters.flatMap(({ occasions }) => occasions.map(({ key }) => key));
  const taken = new Set<string>();
  for (let start = 0; start < keys.length; start += KEYS_AT_ONCE) {
    const part = keys.slice(start, start + KEYS_AT_ONCE);
    const rows = await sql.all<{ key: string }>(
      `SELECT "key" FROM "letter_occasion" WHERE "key" ${AMONG}`,
      [part],
    );
    for (const row of rows) taken.add(row.key);
  }
  const fresh = letters.filter(({ occasions }) => occasions.every(({ key }) => !taken.has(key)));
  const rows: LetterRow[] = [];
  const bodies: (LetterBody & { letterId: string; organisationId: string })[] = [];
  for (const { letter } of fresh) {
    const { text, html, calendar, ...row } = letter;
    rows.push(row);
    bodies.push({
      letterId: row.id,
      organisationId: row.organisationId,
      text,
      html,
      calendar,
    });
  }
  await insertRows(sql, 'letter', rows);
  await insertRows(sql, 'letter_body', bodies);
  await insertRows(
    sql,
    'letter_occasion',
    fresh.flatMap(({ letter, occasions }) =>
      occasions.map(({ key, carId }) => ({
        key,
        organisationId: letter.organisationId,
        letterId: letter.id,
        ownerId: letter.ownerId,
        carId,
        kind: kindInKey(key),
      })),
    ),
  );
  return new Set(fresh.map(({ letter }) => letter.id));
}

const KEYS_AT_ONCE = 500;

/** What some letters say, by their ids. */
export async function bodiesOf(
  sql: Sql,
  letterIds: readonly string[],
): Promise<Map<string, LetterBody>> {
  if (letterIds.length === 0) return new Map();
  const rows = await sql.all<LetterBody & { letterId: string }>(
    `SELECT "letterId", "text", "html", "calendar" FROM "letter_body" WHERE "letterId" ${AMONG}`,
    [letterIds],
  );
  return new Map(rows.map(({ letterId, ...body }) => [letterId, body]));
}

/**
 * Cancels letters that no attempt has begun for and frees their occasions, so that what is still
 * true of them can be written about afresh. Returns the ids that were really cancelled.
 */
export async function cancelLetters(
  sql: Sql,
  letterIds: readonly string[],
  why: string,
  at: Instant,
): Promise<string[]> {
  if (letterIds.length === 0) return [];
  const cancelled = await sql.all<{ id: string }>(
    `UPDATE "letter" SET "state" = 'cancelled', "cancelledWhy" = ?, "settledAt" = ?, "leaseToken" = NULL, "leaseUntil" = NULL, "leaseHolder" = NULL, "nextTryAt" = NULL WHERE "id" ${AMONG} AND ("state" = 'planned' OR ("state" = 'sending' AND "startedAt" IS NULL)) RETURNING "id"`,
    [why, at, letterIds],
  );
  const ids = cancelled.map((row) => row.id);
  if (ids.length > 0) {
    await sql.run(
      `UPDATE "letter_occasion" SET "key" = "key" || '#' || "letterId" WHERE "letterId" ${AMONG}`,
      [ids],
    );
  }
  return ids;
}

const OPEN_ABOUT = `SELECT COUNT(*) AS "n" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."carId" ${AMONG} AND l."state" IN ('planned', 'sending')`;

/** The open letters about a car: those that can still be cancelled. */
export async function openLettersAbout(sql: Sql, carIds: readonly string[]): Promise<number> {
  const rows = await sql.all<{ n: number }>(OPEN_ABOUT, [carIds]);
  return rows[0]?.n ?? 0;
}
