import { holdCars } from '../database/car-lock.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { ERASED_ADDRESS } from '../owners/erasure-rows.ts';
import type { LetterRow } from './letter-rows.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, flag, padded } from '../database/sql.ts';

/** A letter in the hands of one worker, without what it says. `startedAt` is set only where it may have gone out before. */
export interface ClaimedRow extends LetterRow {
  leaseToken: string;
}

export interface Claim {
  readonly at: Instant;
  readonly leaseUntil: Instant;
  /** New for every claim: whoever has an older one can change nothing any more. */
  readonly token: string;
  readonly limit: number;
  readonly organisationId: string | null;
  /** The process whose heartbeat vouches for the lease; null where none does. */
  readonly holder: string | null;
}

/**
 * Claims letters whose time has come, the longest waiting first, and counts the attempt, in one
 * statement, before it reads them: no two workers get the same letter. Each state is claimed by itself, so that the index
 * gives the order and a long queue costs nothing.
 */
export async function claimLetters(
  sql: Sql,
  state: 'planned' | 'unknown',
  { at, leaseUntil, token, limit, organisationId, holder }: Claim,
): Promise<ClaimedRow[]> {
  const own = organisationId === null ? '' : ' AND "organisationId" = ?';
  // Materialized: PostgreSQL may otherwise run the inner query again for each row, past its limit.
  const claimed = await sql.all<{ id: string }>(
    `WITH "due" AS MATERIALIZED (SELECT "id" FROM "letter" WHERE "state" = '${state}' AND "nextTryAt" <= ?${own} ORDER BY "nextTryAt" LIMIT ?${skipLocked(sql)}) UPDATE "letter" SET "state" = 'sending', "attempts" = "attempts" + 1, "leaseToken" = ?, "leaseUntil" = ?, "leaseHolder" = ?${state === 'planned' ? ', "startedAt" = NULL' : ''} WHERE "id" IN (SELECT "id" FROM "due") RETURNING "id"`,
    [at, ...(organisationId === null ? [] : [organisationId]), limit, token, leaseUntil, holder],
  );
  if (claimed.length === 0) return [];
  // SQLite gathers what is returned beside the table, where a row costs as much as it does in it.
  const rows = await sql.all<ClaimedRow>(`SELECT * FROM "letter" WHERE "id" ${AMONG}`, [
    claimed.map(({ id }) => id),
  ]);
  return rows.sort((a, b) => ((a.nextTryAt ?? '') < (b.nextTryAt ?? '') ? -1 : 1));
}

/** What becomes of letters that may have gone out when whoever held them is gone. */
export interface FateUnknown {
  readonly resendAt: Instant;
  /** So often one may be sent once more; alarms more often than others. */
  readonly resends: { readonly alarm: number; readonly other: number };
  readonly fault: string;
}

/**
 * Gives up letters whose lease ran out by `leaseOver`, or whose holder's heart has not beaten since
 * `stoppedSince` by the database's clock. One that was not marked is planned as before; one that may
 * have gone out is unknown, and waits until `resendAt` if it may be sent once more.
 */
export async function reap(
  sql: Sql,
  whose: { readonly leaseOver: Instant } | { readonly stoppedSince: Instant },
  { resends, resendAt, fault }: FateUnknown,
): Promise<number> {
  const byLease = 'leaseOver' in whose;
  // Alarms are the kinds that begin with "folded-", and "must-stay".
  return sql.run(
    `WITH "over" AS MATERIALIZED (SELECT "id" FROM "letter" WHERE "state" = 'sending' AND ${byLease ? '"leaseUntil" <= ?' : '"leaseHolder" IS NOT NULL AND NOT EXISTS (SELECT 1 FROM "holder" h WHERE h."id" = "letter"."leaseHolder" AND h."beatAt" > ?)'}${skipLocked(sql)}) UPDATE "letter" SET "state" = CASE WHEN "startedAt" IS NULL THEN 'planned' ELSE 'unknown' END, "nextTryAt" = CASE WHEN "startedAt" IS NULL THEN "nextTryAt" WHEN (("kind" LIKE 'folded-%' OR "kind" = 'must-stay') AND "resends" < ?) OR ("kind" NOT LIKE 'folded-%' AND "kind" <> 'must-stay' AND "resends" < ?) THEN ? END, "fault" = CASE WHEN "startedAt" IS NULL THEN "fault" ELSE ? END, "leaseUntil" = NULL WHERE "id" IN (SELECT "id" FROM "over")`,
    [byLease ? whose.leaseOver : whose.stoppedSince, resends.alarm, resends.other, resendAt, fault],
  );
}

const UNWELCOME = `(EXISTS (SELECT 1 FROM "address_standing" s WHERE s."organisationId" = "letter"."organisationId" AND s."addressHash" = "letter"."addressHash" AND (s."deadSince" IS NOT NULL OR s."refusedTopics" LIKE '%"' || "letter"."topic" || '"%')) OR EXISTS (SELECT 1 FROM "owner" o WHERE o."id" = "letter"."ownerId" AND o."erasedAt" IS NOT NULL))`;

/** Of letters just claimed, those whose address is alive and whose owner wants such letters. */
export async function welcomeAmong(sql: Sql, letterIds: readonly string[]): Promise<Set<string>> {
  if (letterIds.length === 0) return new Set();
  const rows = await sql.all<{ id: string }>(
    `SELECT "id" FROM "letter" WHERE "id" ${AMONG} AND NOT ${UNWELCOME}`,
    [letterIds],
  );
  return new Set(rows.map(({ id }) => id));
}

/**
 * The mark before the final dot, in one fenced statement: the lease is still ours, the letter was not
 * cancelled, its address is alive and the owner neither refused its topic nor was erased. Ending
 * a letter that was marked before counts as its resend; marking it twice at one instant is once.
 * Returns the ids that may be ended.
 */
export async function markEnding(
  sql: Sql,
  letters: readonly Pick<ClaimedRow, 'id' | 'leaseToken'>[],
  at: Instant,
  leaseUntil: Instant,
): Promise<Set<string>> {
  if (letters.length === 0) return new Set();
  const asked = padded(letters);
  const rows = await sql.all<{ id: string }>(
    `UPDATE "letter" SET "resends" = "resends" + CASE WHEN "startedAt" IS NULL OR "startedAt" = ? THEN 0 ELSE 1 END, "startedAt" = ?, "leaseUntil" = ? WHERE ("id", "leaseToken") IN (VALUES ${asked.map(() => '(?, ?)').join(', ')}) AND "state" = 'sending' AND "leaseUntil" > ? AND NOT ${UNWELCOME} RETURNING "id"`,
    [at, at, leaseUntil, ...asked.flatMap(({ id, leaseToken }) => [id, leaseToken]), at],
  );
  return new Set(rows.map(({ id }) => id));
}

/** Why letters of ours are not welcome, in words; letters that are no longer ours are not in it. */
export async function whyUnwelcome(
  sql: Sql,
  letters: readonly Pick<ClaimedRow, 'id' | 'leaseToken'>[],
): Promise<Map<string, string>> {
  if (letters.length === 0) return new Map();
  const rows = await sql.all<{
    id: string;
    leaseToken: string | null;
    topic: string;
    erasedAt: string | null;
    deadSince: string | null;
    refusedTopics: string | null;
  }>(
    `SELECT l."id", l."leaseToken", l."topic", o."erasedAt", s."deadSince", s."refusedTopics" FROM "letter" l JOIN "owner" o ON o."id" = l."ownerId" LEFT JOIN "address_standing" s ON s."organisationId" = l."organisationId" AND s."addressHash" = l."addressHash" WHERE l."state" = 'sending' AND l."id" ${AMONG}`,
    [letters.map(({ id }) => id)],
  );
  const why = new Map<string, string>();
  for (const row of rows) {
    const ours = letters.some(
      ({ id, leaseToken }) => id === row.id && leaseToken === row.leaseToken,
    );
    if (!ours) continue;
    if (row.erasedAt !== null) why.set(row.id, 'the owner was erased');
    else if (row.deadSince !== null) why.set(row.id, 'the address takes no mail');
    else if (row.refusedTopics?.includes(`"${row.topic}"`) === true)
      why.set(row.id, 'the owner refused such letters');
  }
  return why;
}

/** What an attempt left behind. */
export interface Settlement {
  readonly state: 'planned' | 'unknown' | 'delivered' | 'failed';
  readonly nextTryAt: Instant | null;
  readonly response: string | null;
  readonly fault: string | null;
  /** False: the server certainly never had it in this attempt. */
  readonly mayHaveGone: boolean;
  /** Taken back where nothing was really tried. */
  readonly attempts?: -1;
  /** How often it was sent once more, this attempt included where it may have gone out. */
  readonly resends: number;
  /** When this attempt began. */
  readonly startedAt: Instant;
  /** When this attempt began, where a mail server answered it; the first one stays. */
  readonly triedAt?: Instant;
}

/**
 * Writes down what became of an attempt, fenced by the token. An answer that comes after the lease
 * ran out still counts, unless the letter was claimed anew. False when it was. The answer of a
 * server quotes the address, so that of a letter whose owner was erased meanwhile is not kept.
 */
export async function settleLetter(
  sql: Sql,
  letter: Pick<ClaimedRow, 'id' | 'leaseToken'>,
  at: Instant,
  settlement: Settlement,
): Promise<boolean> {
  const { state, nextTryAt, response, fault, attempts = 0, resends } = settlement;
  const triedAt = settlement.triedAt ?? null;
  const settledAt = state === 'delivered' || state === 'failed' ? at : null;
  const changed = await sql.run(
    `UPDATE "letter" SET "state" = ?, "settledAt" = ?, "nextTryAt" = ?, "response" = CASE WHEN "toAddress" = '${ERASED_ADDRESS}' THEN NULL ELSE ? END, "fault" = ?, "attempts" = "attempts" + ?, "resends" = ?, "firstTriedAt" = COALESCE("firstTriedAt", ?), "startedAt" = CASE WHEN ? = 1 THEN COALESCE("startedAt", ?) END, "leaseToken" = NULL, "leaseUntil" = NULL, "leaseHolder" = NULL WHERE "id" = ? AND "leaseToken" = ? AND "state" IN ('sending', 'unknown')`,
    [state, settledAt, nextTryAt, response, fault, attempts, resends].concat(
      triedAt,
      settlement.mayHaveGone ? 1 : 0,
      settlement.startedAt,
      letter.id,
      letter.leaseToken,
    ),
  );
  return changed > 0;
}

/**
 * Puts a claimed letter back as it was, its attempt not counted, until `nextTryAt`; `fault` says why
 * it waits, where that is for people to know.
 */
export async function putBack(
  sql: Sql,
  letter: Pick<ClaimedRow, 'id' | 'leaseToken'>,
  nextTryAt: Instant | null,
  fault: string | null = null,
): Promise<void> {
  await sql.run(
    `UPDATE "letter" SET "state" = CASE WHEN "startedAt" IS NULL THEN 'planned' ELSE 'unknown' END, "nextTryAt" = ?, "fault" = COALESCE(?, "fault"), "attempts" = "attempts" - 1, "leaseToken" = NULL, "leaseUntil" = NULL, "leaseHolder" = NULL WHERE "id" = ? AND "leaseToken" = ? AND "state" = 'sending'`,
    [nextTryAt, fault, letter.id, letter.leaseToken],
  );
}

/**
 * Takes back what a transaction claimed of which nothing was sent, because its commit went unanswered:
 * the letters are as before.
 */
export async function takeBack(sql: Sql, token: string): Promise<void> {
  await sql.run(
    `UPDATE "letter" SET "state" = CASE WHEN "startedAt" IS NULL THEN 'planned' ELSE 'unknown' END, "attempts" = "attempts" - 1, "leaseToken" = NULL, "leaseUntil" = NULL, "leaseHolder" = NULL WHERE "state" = 'sending' AND "leaseToken" = ?`,
    [token],
  );
}

/** Holds the cars of whoever has these addresses, as {@link holdCars} holds them. */
export async function lockCarsOf(
  sql: Sql,
  addresses: readonly Pick<LetterRow, 'organisationId' | 'addressHash'>[],
): Promise<void> {
  if (addresses.length === 0 || sql.dialect === 'sqlite') return;
  const asked = padded(addresses);
  const owners = await sql.all<{ id: string }>(
    `SELECT "id" FROM "owner" WHERE ("organisationId", "addressHash") IN (VALUES ${asked.map(() => '(?, ?)').join(', ')})`,
    asked.flatMap(({ organisationId, addressHash }) => [organisationId, addressHash]),
  );
  await holdCars(
    sql,
    [],
    owners.map(({ id }) => id),
  );
}

/** Whose letter it is and when it may leave. */
export interface LetterOrganisation {
  readonly organisationName: string;
  readonly organisationEmail: string | null;
  readonly ownerZone: string;
  readonly letterHours: readonly [number, number];
  readonly nightAlarms: boolean;
}

export async function organisationsOf(
  sql: Sql,
  letterIds: readonly string[],
): Promise<Map<string, LetterOrganisation>> {
  const rows = await sql.all<{
    id: string;
    timeZone: string;
    name: string;
    email: string | null;
    letterHours: string;
    nightAlarms: unknown;
  }>(
    `SELECT l."id", o."timeZone", g."name", g."email", g."letterHours", g."nightAlarms" FROM "letter" l JOIN "owner" o ON o."id" = l."ownerId" JOIN "organisation" g ON g."id" = l."organisationId" WHERE l."id" ${AMONG}`,
    [letterIds],
  );
  return new Map(
    rows.map((row) => {
      const [from = '8', to = '20'] = row.letterHours.split('-');
      return [
        row.id,
        {
          organisationName: row.name,
          organisationEmail: row.email,
          ownerZone: row.timeZone,
          letterHours: [Number(from), Number(to)] as const,
          nightAlarms: flag(row.nightAlarms),
        },
      ];
    }),
  );
}

/** The cars that letters are about. */
export function carsAbout(
  sql: Sql,
  letterIds: readonly string[],
): Promise<{ letterId: string; carId: string }[]> {
  return sql.all(
    `SELECT DISTINCT "letterId", "carId" FROM "letter_occasion" WHERE "carId" IS NOT NULL AND "letterId" ${AMONG}`,
    [letterIds],
  );
}

/** Notes that an address takes no mail. The first day and reason stay. */
export async function markDead(
  sql: Sql,
  letter: Pick<LetterRow, 'organisationId' | 'addressHash'>,
  at: Instant,
  why: string,
): Promise<void> {
  await sql.run(
    `INSERT INTO "address_standing" ("organisationId", "addressHash", "deadSince", "deadWhy") VALUES (?, ?, ?, ?) ON CONFLICT ("organisationId", "addressHash") DO UPDATE SET "deadSince" = COALESCE("address_standing"."deadSince", excluded."deadSince"), "deadWhy" = COALESCE("address_standing"."deadWhy", excluded."deadWhy")`,
    [letter.organisationId, letter.addressHash, at, why],
  );
}

/** The letters to an address that can still be cancelled, found through the owners who have it. */
export async function openLettersTo(
  sql: Sql,
  { organisationId, addressHash }: Pick<LetterRow, 'organisationId' | 'addressHash'>,
): Promise<string[]> {
  const rows = await sql.all<{ id: string }>(
    `SELECT "id" FROM "letter" WHERE "ownerId" IN (SELECT "id" FROM "owner" WHERE "organisationId" = ? AND "addressHash" = ?) AND "addressHash" = ? AND "state" IN ('planned', 'sending') ORDER BY "id"`,
    [organisationId, addressHash, addressHash],
  );
  return rows.map(({ id }) => id);
}

/** Frees the occasions of a letter that reached nobody, so that they can be written about afresh. */
export async function freeOccasions(sql: Sql, letterId: string): Promise<void> {
  await sql.run(
    `UPDATE "letter_occasion" SET "key" = "key" || '#' || "letterId" WHERE "letterId" = ? AND "key" NOT LIKE '%#%'`,
    [letterId],
  );
}

function skipLocked(sql: Sql): string {
  return sql.dialect === 'postgresql' ? ' FOR UPDATE SKIP LOCKED' : '';
}
