import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { CarKept, OrganisationKept } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, forUpdateOfFree } from '../database/sql.ts';

/** What is kept of an organisation's cars together; null where nothing is yet. */
export function keptOfOrganisation(
  sql: Sql,
  organisationId: string,
): Promise<OrganisationKept | null> {
  return first(sql, 'SELECT * FROM "organisation_kept" WHERE "organisationId" = ?', [
    organisationId,
  ]);
}

/** How many cars an organisation has. */
export async function countCars(sql: Sql, organisationId: string): Promise<number> {
  const row = await first<{ n: number }>(
    sql,
    'SELECT COUNT(*) AS "n" FROM "car_kept" WHERE "organisationId" = ?',
    [organisationId],
  );
  return row?.n ?? 0;
}

/** How many of them changed since something was kept of them. */
export async function countChanged(sql: Sql, organisationId: string): Promise<number> {
  const row = await first<{ n: number }>(
    sql,
    `SELECT COUNT(*) AS "n" FROM "car_kept" WHERE "organisationId" = ? AND "goodUntil" = ''`,
    [organisationId],
  );
  return row?.n ?? 0;
}

/** A car of which nothing true is kept, with the count of its changes. */
export type OutdatedRow = Pick<CarKept, 'carId' | 'changes' | 'goodUntil'>;

/**
 * Some cars of an organisation, so many at most, of which what is kept holds no longer, was made by a
 * clock that was ahead, or with chances that have been learned anew since. Each condition is asked of its
 * own index, so that this costs nothing where all is kept.
 */
export async function outdatedCars(
  sql: Sql,
  organisationId: string,
  { at, learnedNo, limit }: { at: Instant; learnedNo: number; limit: number },
): Promise<OutdatedRow[]> {
  const columns =
    'SELECT "carId", "changes", "goodUntil" FROM "car_kept" WHERE "organisationId" = ?';
  const rows = await sql.all<OutdatedRow>(
    `${columns} AND "goodUntil" <= ? UNION ALL ${columns} AND "madeAt" > ? UNION ALL ${columns} AND "learnedNo" < ? LIMIT ?`,
    [organisationId, at, organisationId, at, organisationId, learnedNo, limit],
  );
  return [...new Map(rows.map((row) => [row.carId, row])).values()];
}

/** What is to be kept of a car, and of which count of changes it was made. */
export type KeptCar = Pick<
  CarKept,
  | 'carId'
  | 'changes'
  | 'goodUntil'
  | 'callScore'
  | 'callSaves'
  | 'call'
  | 'staysSince'
  | 'nearingAt'
>;

/**
 * Keeps what was reckoned of some cars, except of those that changed since it was. Cars that somebody is
 * changing are left as they are, for what they change will be reckoned anew.
 */
export async function keepCars(
  sql: Sql,
  cars: readonly KeptCar[],
  { at, learnedNo }: { at: Instant; learnedNo: number },
): Promise<void> {
  const ids = cars.map(({ carId }) => carId);
  const free = await sql.all<Pick<CarKept, 'carId'>>(
    `SELECT "carId" FROM "car_kept" WHERE "carId" ${AMONG}${forUpdateOfFree(sql)}`,
    [ids],
  );
  const mine = new Set(free.map(({ carId }) => carId));
  for (const car of cars.filter(({ carId }) => mine.has(carId))) {
    await sql.run(
      'UPDATE "car_kept" SET "madeAt" = ?, "goodUntil" = ?, "learnedNo" = ?, "callScore" = ?, "callSaves" = ?, "call" = ?, "staysSince" = ?, "nearingAt" = ? WHERE "carId" = ? AND "changes" = ?',
      [
        at,
        car.goodUntil,
        learnedNo,
        car.callScore,
        car.callSaves,
        car.call,
        car.staysSince,
        car.nearingAt,
        car.carId,
        car.changes,
      ],
    );
  }
}

/** Adds to the counts of cars that changed since something was learned, and since the weeks ahead were looked at. */
export async function noteChanges(
  sql: Sql,
  organisationId: string,
  { sinceLearned, sinceAhead }: { readonly sinceLearned: number; readonly sinceAhead: number },
): Promise<void> {
  await sql.run(
    'UPDATE "organisation_kept" SET "learnedChanges" = "learnedChanges" + ?, "aheadChanges" = "aheadChanges" + ? WHERE "organisationId" = ?',
    [sinceLearned, sinceAhead, organisationId],
  );
}

/** Keeps what was learned from all cars, unless somebody else learned meanwhile. */
export async function keepLearned(
  sql: Sql,
  organisationId: string,
  kept: Pick<OrganisationKept, 'learned' | 'learnedAt' | 'learnedNo'> & { readonly before: number },
): Promise<void> {
  await sql.run(
    'INSERT INTO "organisation_kept" ("organisationId") VALUES (?) ON CONFLICT DO NOTHING',
    [organisationId],
  );
  await sql.run(
    'UPDATE "organisation_kept" SET "learned" = ?, "learnedAt" = ?, "learnedNo" = ?, "learnedChanges" = 0 WHERE "organisationId" = ? AND "learnedNo" = ?',
    [kept.learned, kept.learnedAt, kept.learnedNo, organisationId, kept.before],
  );
}

/** Keeps what the coming weeks ask for. */
export async function keepAhead(
  sql: Sql,
  organisationId: string,
  { ahead, aheadAt }: Pick<OrganisationKept, 'ahead' | 'aheadAt'>,
): Promise<void> {
  await sql.run(
    'UPDATE "organisation_kept" SET "ahead" = ?, "aheadAt" = ?, "aheadChanges" = 0 WHERE "organisationId" = ?',
    [ahead, aheadAt, organisationId],
  );
}

/** A car that is worth a call, with whom to ring. */
export type CallRowOf = Pick<CarKept, 'carId'> & {
  readonly topId: string;
  readonly registration: string;
  readonly dueOn: Day;
  readonly ownerId: string;
  readonly ownerName: string;
  readonly phone: string | null;
};

/** A line of the call list as it is kept. */
export type KeptCallRow = CallRowOf & {
  readonly callScore: number;
  readonly callSaves: number;
  readonly call: string;
};

const WHOM = `k."carId", t."id" AS "topId", t."dueOn", c."registration", o."id" AS "ownerId", o."name" AS "ownerName", o."phone"`;
const WHOM_FROM = `"car_kept" k JOIN "car" c ON c."id" = k."carId" JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL JOIN "owner" o ON o."id" = c."ownerId"`;

/** Where a page of the call list goes on. */
export interface AfterCall {
  readonly score: number;
  readonly saves: number;
  readonly carId: string;
}

/** The cars worth a call, what saves most a minute first. */
export function keptCalls(
  sql: Sql,
  organisationId: string,
  limit: number,
  after: AfterCall | null = null,
): Promise<KeptCallRow[]> {
  const beyond =
    after === null
      ? ''
      : ' AND (k."callScore" < ? OR (k."callScore" = ? AND (k."callSaves" < ? OR (k."callSaves" = ? AND k."carId" > ?))))';
  const { score = 0, saves = 0, carId = '' } = after ?? {};
  return sql.all(
    `SELECT k."callScore", k."callSaves", k."call", ${WHOM} FROM ${WHOM_FROM} WHERE k."organisationId" = ? AND k."callScore" IS NOT NULL${beyond} ORDER BY k."callScore" DESC, k."callSaves" DESC, k."carId" LIMIT ?`,
    [organisationId, ...(after === null ? [] : [score, score, saves, saves, carId]), limit],
  );
}

/** Whom to ring about some cars, whatever is kept of them. */
export function callRowsOf(sql: Sql, carIds: readonly string[]): Promise<CallRowOf[]> {
  return sql.all(`SELECT ${WHOM} FROM ${WHOM_FROM} WHERE k."carId" ${AMONG}`, [carIds]);
}

export async function countKeptCalls(sql: Sql, organisationId: string): Promise<number> {
  const row = await first<{ n: number }>(
    sql,
    'SELECT COUNT(*) AS "n" FROM "car_kept" WHERE "organisationId" = ? AND "callScore" IS NOT NULL',
    [organisationId],
  );
  return row?.n ?? 0;
}

/** The cars that are kept as such whose tops must not be moved. */
export async function keptStaying(sql: Sql, organisationId: string): Promise<string[]> {
  const rows = await sql.all<Pick<CarKept, 'carId'>>(
    `SELECT "carId" FROM "car_kept" WHERE "organisationId" = ? AND "staysSince" >= ''`,
    [organisationId],
  );
  return rows.map(({ carId }) => carId);
}

/** A car that stands folded near its limit or past it. */
export async function keptNearLimit(
  sql: Sql,
  organisationId: string,
  at: Instant,
): Promise<string[]> {
  const rows = await sql.all<Pick<CarKept, 'carId'>>(
    'SELECT "carId" FROM "car_kept" WHERE "organisationId" = ? AND "nearingAt" <= ?',
    [organisationId, at],
  );
  return rows.map(({ carId }) => carId);
}

/** Some cars with whom to tell about them. */
export type CarAndOwnerRow = Pick<CarKept, 'carId'> & {
  readonly registration: string;
  readonly timeZone: string;
  readonly ownerName: string;
  readonly phone: string | null;
};

export function carsAndOwners(sql: Sql, carIds: readonly string[]): Promise<CarAndOwnerRow[]> {
  return sql.all(
    `SELECT c."id" AS "carId", c."registration", c."timeZone", o."name" AS "ownerName", o."phone" FROM "car" c JOIN "owner" o ON o."id" = c."ownerId" WHERE c."id" ${AMONG} ORDER BY c."id"`,
    [carIds],
  );
}
