import type { Instant } from '../../domain/calendar/instant.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import type { Letter } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, flag } from '../database/sql.ts';
import { UNSEEN_LETTER } from '../sharing/sight.ts';
import type { WholeLetter } from './letter-rows.ts';

const WHOLE = `l.*, b."text", b."html", b."calendar" FROM "letter" l JOIN "letter_body" b ON b."letterId" = l."id"`;

/** A letter of an organisation, whole; null where it has none of this id. */
export function findLetter(
  sql: Sql,
  organisationId: string,
  id: string,
): Promise<WholeLetter | null> {
  return first(
    sql,
    `SELECT ${WHOLE} WHERE l."id" = ? AND l."organisationId" = ? AND NOT ${UNSEEN_LETTER}`,
    [id, organisationId],
  );
}

/** Letters of an organisation behind an id, of one state or about one car where asked. */
export function lettersAfter(
  sql: Sql,
  organisationId: string,
  asked: {
    readonly after: string;
    readonly most: number;
    readonly state?: string | undefined;
    readonly carId?: string | undefined;
  },
): Promise<WholeLetter[]> {
  const { after, most, state, carId } = asked;
  const inState = state === undefined ? '' : ' AND l."state" = ?';
  const aboutCar =
    carId === undefined
      ? ''
      : ' AND l."id" IN (SELECT "letterId" FROM "letter_occasion" WHERE "carId" = ?)';
  return sql.all(
    `SELECT ${WHOLE} WHERE l."organisationId" = ? AND l."id" > ?${inState}${aboutCar} AND NOT ${UNSEEN_LETTER} ORDER BY l."id" LIMIT ?`,
    [
      organisationId,
      after,
      ...(state === undefined ? [] : [state]),
      ...(carId === undefined ? [] : [carId]),
      most,
    ],
  );
}

/** The cars that each of some letters is about. */
export async function carsByLetter(
  sql: Sql,
  letterIds: readonly string[],
): Promise<Map<string, string[]>> {
  const rows = await sql.all<{ letterId: string; carId: string }>(
    `SELECT DISTINCT "letterId", "carId" FROM "letter_occasion" WHERE "carId" IS NOT NULL AND "letterId" ${AMONG} ORDER BY "letterId", "carId"`,
    [letterIds],
  );
  const cars = new Map<string, string[]>();
  for (const { letterId, carId } of rows)
    cars.set(letterId, [...(cars.get(letterId) ?? []), carId]);
  return cars;
}

/** Of some Message-IDs those that are an organisation's letters. */
export async function ownMessageIds(
  sql: Sql,
  organisationId: string,
  messageIds: readonly string[],
): Promise<string[]> {
  const rows = await sql.all<Pick<Letter, 'messageId'>>(
    `SELECT "messageId" FROM "letter" WHERE "organisationId" = ? AND "messageId" ${AMONG}`,
    [organisationId, messageIds],
  );
  return rows.map(({ messageId }) => messageId);
}

/** The letters to an owner that have not left. */
export async function unsentLettersTo(sql: Sql, ownerId: string): Promise<string[]> {
  const rows = await sql.all<Pick<Letter, 'id'>>(
    `SELECT "id" FROM "letter" WHERE "ownerId" = ? AND "state" IN ('planned', 'sending')`,
    [ownerId],
  );
  return rows.map(({ id }) => id);
}

/** The letters of an organisation that wait for their hour and that a round can write anew: what somebody sent by a press stays. */
export async function lettersWaiting(
  sql: Sql,
  organisationId: string,
  at: Instant,
): Promise<string[]> {
  const rows = await sql.all<Pick<Letter, 'id'>>(
    `SELECT "id" FROM "letter" WHERE "organisationId" = ? AND "state" = 'planned' AND "notBefore" > ? AND "kind" NOT LIKE 'visit-%' AND "kind" <> 'club-letter'`,
    [organisationId, at],
  );
  return rows.map(({ id }) => id);
}

/** How many letters of all organisations stand in each state. */
export function lettersByState(sql: Sql): Promise<{ state: string; n: number }[]> {
  return sql.all('SELECT "state", COUNT(*) AS "n" FROM "letter" GROUP BY "state"');
}

/** Since when the oldest letter that may leave has waited; null where none does. */
export async function oldestDue(sql: Sql, at: Instant): Promise<Instant | null> {
  const row = await first<{ oldest: Instant | null }>(
    sql,
    `SELECT MIN("nextTryAt") AS "oldest" FROM "letter" WHERE "state" IN ('planned', 'unknown') AND "nextTryAt" <= ?`,
    [at],
  );
  return row?.oldest ?? null;
}

/** How many letters of each kind were written since an instant, how many wait, and when the first of those may leave. */
export function lettersByKind(
  sql: Sql,
  since: Instant,
): Promise<{ kind: LetterKind; count: number; waiting: number; nextAt: Instant | null }[]> {
  return sql.all(
    `SELECT "kind", COUNT(*) AS "count", COUNT(CASE WHEN "state" = 'planned' THEN 1 END) AS "waiting", MIN(CASE WHEN "state" = 'planned' THEN "nextTryAt" END) AS "nextAt" FROM "letter" WHERE "state" <> 'cancelled' AND "plannedAt" >= ? GROUP BY "kind"`,
    [since],
  );
}

export type UnsentLetterRow = Pick<Letter, 'id' | 'toName'> & {
  readonly kind: LetterKind;
  /** Whether its organisation may see it. */
  readonly seen: boolean;
};

/** Of some letters those that are cancelled, and why. */
export function cancelledAmong(
  sql: Sql,
  ids: readonly string[],
): Promise<(Pick<Letter, 'id' | 'cancelledWhy'> & { readonly kind: LetterKind })[]> {
  return sql.all(
    `SELECT "id", "kind", "cancelledWhy" FROM "letter" WHERE "state" = 'cancelled' AND "id" ${AMONG}`,
    [ids],
  );
}

/** The letters of an organisation that wait to be sent, in the order they were written. */
export async function unsentLetters(sql: Sql, organisationId: string): Promise<UnsentLetterRow[]> {
  const rows = await sql.all<UnsentLetterRow & { seen: unknown }>(
    `SELECT l."id", l."kind", l."toName", CASE WHEN ${UNSEEN_LETTER} THEN 0 ELSE 1 END AS "seen" FROM "letter" l WHERE l."state" = 'planned' AND l."organisationId" = ? ORDER BY l."id"`,
    [organisationId],
  );
  return rows.map((row) => ({ ...row, seen: flag(row.seen) }));
}
