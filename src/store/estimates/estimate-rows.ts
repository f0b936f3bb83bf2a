import type { Estimate, EstimateLine } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, flag, forUpdate, insertRows } from '../database/sql.ts';

export type EstimateRow = Estimate;
export type LineRow = EstimateLine;

/** An estimate of an organisation; null where it has none of this id. */
export function findEstimate(
  sql: Sql,
  organisationId: string,
  id: string,
  lock = false,
): Promise<EstimateRow | null> {
  return first(
    sql,
    `SELECT * FROM "estimate" WHERE "organisationId" = ? AND "id" = ?${lock ? forUpdate(sql) : ''}`,
    [organisationId, id],
  );
}

/** The lines of estimates, in the order in which they are read. */
export async function linesOf(sql: Sql, estimateIds: readonly string[]): Promise<LineRow[]> {
  if (estimateIds.length === 0) return [];
  const rows = await sql.all<LineRow>(
    `SELECT * FROM "estimate_line" WHERE "estimateId" ${AMONG} ORDER BY "estimateId", "place"`,
    [estimateIds],
  );
  return rows.map((row) => ({ ...row, strips: flag(row.strips) }));
}

/** The estimates of a car, the newest first. */
export function estimatesOfCar(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<EstimateRow[]> {
  return sql.all(
    'SELECT * FROM "estimate" WHERE "organisationId" = ? AND "carId" = ? ORDER BY "number" DESC',
    [organisationId, carId],
  );
}

/** An estimate with whose car it is about, for a list of them. */
export type ListedEstimateRow = EstimateRow & { registration: string; ownerName: string };

/** The estimates of an organisation below a number, the newest first. */
export function estimatesNewestFirst(
  sql: Sql,
  organisationId: string,
  { below, most }: { readonly below: number; readonly most: number },
): Promise<ListedEstimateRow[]> {
  return sql.all(
    'SELECT e.*, c."registration", o."name" AS "ownerName" FROM "estimate" e JOIN "car" c ON c."id" = e."carId" JOIN "owner" o ON o."id" = e."ownerId" WHERE e."organisationId" = ? AND e."number" < ? ORDER BY e."number" DESC LIMIT ?',
    [organisationId, below, most],
  );
}

/** The sent estimates of these cars that wait for their owner's answer; none made for an owner before. */
export function waitingEstimates(sql: Sql, carIds: readonly string[]): Promise<EstimateRow[]> {
  return sql.all(
    `SELECT e.* FROM "estimate" e JOIN "car" c ON c."id" = e."carId" AND c."ownerId" = e."ownerId" WHERE e."carId" ${AMONG} AND e."state" = 'sent' ORDER BY e."id"`,
    [carIds],
  );
}

/** The number of the next estimate. Hold the organisation's prices meanwhile. */
export async function nextNumber(sql: Sql, organisationId: string): Promise<number> {
  const row = await first<{ last: number | null }>(
    sql,
    'SELECT MAX("number") AS "last" FROM "estimate" WHERE "organisationId" = ?',
    [organisationId],
  );
  return (row?.last ?? 0) + 1;
}

export async function insertEstimate(
  sql: Sql,
  row: EstimateRow,
  lines: readonly LineRow[],
): Promise<void> {
  await insertRows(sql, 'estimate', [row]);
  await insertRows(sql, 'estimate_line', lines);
}

/** Puts other lines in the place of those of a draft. */
export async function replaceLines(
  sql: Sql,
  estimateId: string,
  lines: readonly LineRow[],
): Promise<void> {
  await sql.run('DELETE FROM "estimate_line" WHERE "estimateId" = ?', [estimateId]);
  await insertRows(sql, 'estimate_line', lines);
}

/** Writes where an estimate stands, and counts its version up. */
export async function storeEstimate(
  sql: Sql,
  {
    id,
    state,
    words,
    sentAt,
    holdsUntil,
    answeredAt,
  }: Pick<EstimateRow, 'id' | 'state' | 'words' | 'sentAt' | 'holdsUntil' | 'answeredAt'>,
): Promise<void> {
  await sql.run(
    'UPDATE "estimate" SET "state" = ?, "words" = ?, "sentAt" = ?, "holdsUntil" = ?, "answeredAt" = ?, "version" = "version" + 1 WHERE "id" = ?',
    [state, words, sentAt, holdsUntil, answeredAt, id],
  );
}

/** Ends the other estimates of a top that wait for an answer: a newer one takes their place. */
export async function replaceWaiting(sql: Sql, topId: string, exceptId: string): Promise<void> {
  await sql.run(
    `UPDATE "estimate" SET "state" = 'replaced', "version" = "version" + 1 WHERE "topId" = ? AND "state" = 'sent' AND "id" <> ?`,
    [topId, exceptId],
  );
}

export async function storeAnswer(sql: Sql, lineId: string, answer: string): Promise<void> {
  await sql.run('UPDATE "estimate_line" SET "answer" = ? WHERE "id" = ?', [answer, lineId]);
}

/** Whom an estimate is for and who sends it, as its page tells them. */
export interface EstimateReaderRow {
  registration: string;
  ownerName: string;
  ownerErasedAt: string | null;
  /** Whose car it is now. */
  carOwnerId: string;
  timeZone: string;
  language: string;
  ownerZone: string;
  organisationName: string;
  organisationKind: 'shop' | 'club' | 'private';
  postalAddress: string | null;
  phone: string | null;
  retiredOn: string | null;
}

export function readerOfEstimate(sql: Sql, id: string): Promise<EstimateReaderRow | null> {
  return first(
    sql,
    'SELECT c."registration", o."name" AS "ownerName", o."erasedAt" AS "ownerErasedAt", c."ownerId" AS "carOwnerId", c."timeZone", o."language", o."timeZone" AS "ownerZone", g."name" AS "organisationName", g."kind" AS "organisationKind", g."postalAddress", g."phone", t."retiredOn" FROM "estimate" e JOIN "car" c ON c."id" = e."carId" JOIN "top" t ON t."id" = e."topId" JOIN "owner" o ON o."id" = e."ownerId" JOIN "organisation" g ON g."id" = e."organisationId" WHERE e."id" = ?',
    [id],
  );
}
