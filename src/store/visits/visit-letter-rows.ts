import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first } from '../database/sql.ts';

/** A visit as letters and calendars tell of it. */
export interface ToldVisitRow {
  id: string;
  organisationId: string;
  carId: string;
  topId: string;
  framePattern: string;
  registration: string;
  kind: string;
  state: string;
  plannedOn: Day | null;
  dropOffAt: Instant | null;
  readyAt: Instant | null;
  doneOn: Day | null;
  minutes: number | null;
  /** The zone by whose clock the organisation opens. */
  organisationZone: string;
  organisationLanguage: string;
  version: number;
  createdAt: Instant;
  changedAt: Instant | null;
}

const VISIT =
  'SELECT v."id", v."organisationId", v."carId", v."topId", t."framePattern", c."registration", v."kind", v."state", v."plannedOn", v."dropOffAt", v."readyAt", v."doneOn", v."minutes", g."timeZone" AS "organisationZone", g."language" AS "organisationLanguage", v."version", v."createdAt", v."changedAt" FROM "visit" v JOIN "car" c ON c."id" = v."carId" JOIN "top" t ON t."id" = v."topId" JOIN "organisation" g ON g."id" = v."organisationId"';

export function toldVisit(sql: Sql, id: string): Promise<ToldVisitRow | null> {
  return first(sql, `${VISIT} WHERE v."id" = ?`, [id]);
}

/** Notes when a visit was changed last: what calendars call its stamp. */
export async function stampVisit(sql: Sql, id: string, at: Instant): Promise<void> {
  await sql.run('UPDATE "visit" SET "changedAt" = ? WHERE "id" = ?', [at, id]);
}

/**
 * The visits that an organisation's diary shows: those with a day from `from` on, and those called
 * off that were changed from `cancelledSince` on. Visits with one of the notes `exceptNotes` took place
 * elsewhere.
 */
export function diaryVisits(
  sql: Sql,
  organisationId: string,
  shown: {
    readonly from: Day;
    readonly cancelledSince: Instant;
    readonly exceptNotes: readonly string[];
  },
): Promise<ToldVisitRow[]> {
  const { from, cancelledSince, exceptNotes } = shown;
  return sql.all(
    `${VISIT} WHERE v."organisationId" = ? AND ((v."state" IN ('booked', 'missed') AND v."plannedOn" >= ?) OR (v."state" = 'done' AND v."doneOn" >= ? AND NOT COALESCE(v."notes", '') ${AMONG}) OR (v."state" = 'cancelled' AND v."plannedOn" IS NOT NULL AND COALESCE(v."changedAt", v."createdAt") >= ?)) ORDER BY COALESCE(v."doneOn", v."plannedOn"), v."id"`,
    [organisationId, from, from, exceptNotes, cancelledSince],
  );
}

/** A letter that was written about a visit. */
export interface VisitLetterRow {
  letterId: string;
  /** `KIND:VISIT:DAY` or `KIND:VISIT:DAYTHHMM`, with more behind it. */
  key: string;
  kind: LetterKind;
  messageId: string;
  state: string;
  startedAt: Instant | null;
  plannedAt: Instant;
}

/**
 * Every letter about a visit to whoever has the car, in the order in which they were written; and the
 * reports of it, whoever got them.
 */
export function lettersAboutVisit(
  sql: Sql,
  visit: Pick<ToldVisitRow, 'id' | 'carId'>,
): Promise<VisitLetterRow[]> {
  return sql.all(
    `SELECT o."letterId", o."key", o."kind", l."messageId", l."state", l."startedAt", l."plannedAt" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" JOIN "car" c ON c."id" = o."carId" WHERE o."carId" = ? AND (o."ownerId" = c."ownerId" OR o."kind" = 'visit-report') AND o."kind" IN ('visit-booked', 'visit-moved', 'visit-called-off', 'visit-report') AND o."key" LIKE ? ORDER BY o."letterId"`,
    [visit.carId, `%:${visit.id}:%`],
  );
}

/** The cars of an organisation with a visit that an unsent letter tells of. */
export async function carsWithVisitsToTell(sql: Sql, organisationId: string): Promise<string[]> {
  const rows = await sql.all<{ carId: string }>(
    `SELECT DISTINCT o."carId" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE l."organisationId" = ? AND o."carId" IS NOT NULL AND o."kind" IN ('visit-booked', 'visit-moved', 'visit-called-off', 'visit-report') AND l."state" IN ('planned', 'sending') ORDER BY o."carId"`,
    [organisationId],
  );
  return rows.map(({ carId }) => carId);
}

/** The newest report of a visit that waits or left: when it did, and to whom. */
export function lastReport(
  sql: Sql,
  visit: Pick<ToldVisitRow, 'id' | 'carId'>,
): Promise<{ settledAt: Instant | null; toName: string } | null> {
  return first(
    sql,
    `SELECT l."settledAt", l."toName" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."carId" = ? AND o."kind" = 'visit-report' AND o."key" LIKE ? AND l."state" NOT IN ('cancelled', 'failed') ORDER BY o."letterId" DESC LIMIT 1`,
    [visit.carId, `visit-report:${visit.id}:%`],
  );
}

/** The visits of a car that an unsent letter tells of, in the order of their letters. */
export async function visitsToBeTold(sql: Sql, carId: string): Promise<string[]> {
  const rows = await sql.all<{ key: string }>(
    `SELECT o."key" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."carId" = ? AND o."kind" IN ('visit-booked', 'visit-moved', 'visit-called-off', 'visit-report') AND l."state" IN ('planned', 'sending') ORDER BY o."letterId"`,
    [carId],
  );
  return [...new Set(rows.flatMap(({ key }) => key.split(':')[1] ?? []))];
}

/** Letters about visits of an owner's cars since an instant, in order, with what became of them. */
export function visitLettersTo(
  sql: Sql,
  ownerId: string,
  since: Instant,
): Promise<{ key: string; state: string; cancelledWhy: string | null }[]> {
  return sql.all(
    `SELECT o."key", l."state", l."cancelledWhy" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."ownerId" = ? AND o."kind" IN ('visit-booked', 'visit-moved', 'visit-called-off', 'visit-report') AND l."plannedAt" >= ? ORDER BY o."letterId"`,
    [ownerId, since],
  );
}

/** What was found at one pivot on one visit. */
export interface FoundRow {
  pivotId: string;
  code: string;
  state: string;
  oiled: unknown;
  repaired: unknown;
  washersExpected: number;
  washersPresent: number | null;
}

export function foundOnVisit(sql: Sql, visitId: string): Promise<FoundRow[]> {
  return sql.all(
    'SELECT r."pivotId", p."code", r."state", r."oiled", r."repaired", p."washersExpected", r."washersPresent" FROM "reading" r JOIN "pivot" p ON p."id" = r."pivotId" WHERE r."visitId" = ? ORDER BY p."place"',
    [visitId],
  );
}

export function findingsOfVisit(
  sql: Sql,
  visitId: string,
): Promise<{ text: string; advised: string | null; outcome: string; pivot: string | null }[]> {
  return sql.all(
    'SELECT "text", "advised", "outcome", "pivotCode" AS "pivot" FROM "finding" WHERE "visitId" = ? ORDER BY "id"',
    [visitId],
  );
}

/** An open offer with the car that it is for, and whose that is. */
export interface OpenOfferRow {
  id: string;
  carId: string;
  ownerId: string;
}

/** Open offers that no letter tells of yet. */
export function offersUntold(sql: Sql, organisationId: string): Promise<OpenOfferRow[]> {
  return sql.all(
    `SELECT f."id", t."carId", c."ownerId" FROM "offer" f JOIN "top" t ON t."id" = f."topId" JOIN "car" c ON c."id" = t."carId" WHERE f."organisationId" = ? AND f."state" = 'open' AND NOT EXISTS (SELECT 1 FROM "letter_occasion" o WHERE o."key" = 'visit-offered:' || f."id") ORDER BY t."carId", f."id"`,
    [organisationId],
  );
}

/** Unsent letters that tell of offers which are no longer open. */
export async function lettersOfEndedOffers(sql: Sql, organisationId: string): Promise<string[]> {
  const rows = await sql.all<{ id: string }>(
    `SELECT DISTINCT l."id" FROM "letter" l JOIN "letter_occasion" o ON o."letterId" = l."id" WHERE l."organisationId" = ? AND o."kind" = 'visit-offered' AND l."state" IN ('planned', 'sending') AND NOT EXISTS (SELECT 1 FROM "offer" f WHERE f."state" = 'open' AND o."key" = 'visit-offered:' || f."id")`,
    [organisationId],
  );
  return rows.map(({ id }) => id).sort();
}
