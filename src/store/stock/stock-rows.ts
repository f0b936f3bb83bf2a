import type { Part } from '../../domain/parts/kits.ts';
import type { Sql } from '../database/sql.ts';
import { first, forUpdate } from '../database/sql.ts';

export interface StockRow {
  part: Part;
  inHand: number;
  onOrder: number;
  leadWeeks: number | null;
  /** What a piece costs an owner, in the smallest unit of the organisation's currency. */
  unitPrice: number | null;
  version: number;
}

const STOCK = '"part", "inHand", "onOrder", "leadWeeks", "unitPrice", "version"';

/** What an organisation has entered of its stock; parts it has not counted are missing. */
export function stockOf(sql: Sql, organisationId: string): Promise<StockRow[]> {
  return sql.all(`SELECT ${STOCK} FROM "stock" WHERE "organisationId" = ?`, [organisationId]);
}

export function stockOfPart(
  sql: Sql,
  organisationId: string,
  part: Part,
  lock = false,
): Promise<StockRow | null> {
  return first(
    sql,
    `SELECT ${STOCK} FROM "stock" WHERE "organisationId" = ? AND "part" = ?${lock ? forUpdate(sql) : ''}`,
    [organisationId, part],
  );
}

/** Writes the stock of a part; false where somebody else has counted it first. */
export async function writeStock(
  sql: Sql,
  organisationId: string,
  row: StockRow,
  known: boolean,
): Promise<boolean> {
  const { part, inHand, onOrder, leadWeeks, unitPrice, version } = row;
  const written = known
    ? await sql.run(
        'UPDATE "stock" SET "inHand" = ?, "onOrder" = ?, "leadWeeks" = ?, "unitPrice" = ?, "version" = ? WHERE "organisationId" = ? AND "part" = ?',
        [inHand, onOrder, leadWeeks, unitPrice, version, organisationId, part],
      )
    : await sql.run(
        'INSERT INTO "stock" ("organisationId", "part", "inHand", "onOrder", "leadWeeks", "unitPrice", "version") VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING',
        [organisationId, part, inHand, onOrder, leadWeeks, unitPrice, version],
      );
  return written === 1;
}

/**
 * Adds pieces to what is in hand and on order of a part, or takes them away. Less than none in hand says
 * that more was taken than had been counted.
 */
export async function moveStock(
  sql: Sql,
  organisationId: string,
  part: string,
  by: { readonly inHand?: number; readonly onOrder?: number },
): Promise<void> {
  await sql.run(
    'INSERT INTO "stock" ("organisationId", "part", "inHand", "version") VALUES (?, ?, 0, 0) ON CONFLICT DO NOTHING',
    [organisationId, part],
  );
  await sql.run(
    'UPDATE "stock" SET "inHand" = "inHand" + ?, "onOrder" = "onOrder" + ?, "version" = "version" + 1 WHERE "organisationId" = ? AND "part" = ?',
    [by.inHand ?? 0, by.onOrder ?? 0, organisationId, part],
  );
}

/** Forgets what all parts cost: the numbers were of another currency. */
export async function forgetPrices(sql: Sql, organisationId: string): Promise<void> {
  await sql.run(
    'UPDATE "stock" SET "unitPrice" = NULL, "version" = "version" + 1 WHERE "organisationId" = ? AND "unitPrice" IS NOT NULL',
    [organisationId],
  );
}

export interface PartFindingRow {
  topId: string;
  framePattern: string;
  material: string;
  visitId: string;
  fault: string;
  /** Kind of the joint it was found at; null where none was named. */
  pivotKind: string | null;
  outcome: string;
  retiredOn: string | null;
}

/** The findings of an organisation that name one of these faults. */
export function findingsOf(
  sql: Sql,
  organisationId: string,
  faults: readonly string[],
): Promise<PartFindingRow[]> {
  return sql.all(
    `SELECT f."topId", t."framePattern", t."material", f."visitId", f."fault", (SELECT p."kind" FROM "pivot" p WHERE p."carId" = t."carId" AND p."code" = f."pivotCode" ORDER BY p."since" DESC LIMIT 1) AS "pivotKind", f."outcome", t."retiredOn" FROM "top" t JOIN "finding" f ON f."topId" = t."id" WHERE t."organisationId" = ? AND f."fault" IN (${faults.map(() => '?').join(', ')})`,
    [organisationId, ...faults],
  );
}

/**
 * How many visits were done to each frame pattern, those that look the whole top over. An oiling of which
 * nothing was read or found (an owner's own, or one of a table) looked at nothing.
 */
export function visitsDoneByPattern(
  sql: Sql,
  organisationId: string,
): Promise<{ framePattern: string; visits: number }[]> {
  return sql.all(
    `SELECT t."framePattern", COUNT(*) AS "visits" FROM "visit" v JOIN "top" t ON t."id" = v."topId" WHERE v."organisationId" = ? AND v."state" = 'done' AND v."kind" = 'lubrication' AND (EXISTS (SELECT 1 FROM "reading" r WHERE r."visitId" = v."id") OR EXISTS (SELECT 1 FROM "finding" f WHERE f."visitId" = v."id")) GROUP BY t."framePattern"`,
    [organisationId],
  );
}
