import type { PartOrder } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, forUpdate, insertRows } from '../database/sql.ts';

export type OrderRow = PartOrder;

export async function insertOrder(sql: Sql, row: OrderRow): Promise<void> {
  await insertRows(sql, 'part_order', [row]);
}

/** An order of an organisation, held until the transaction ends; null where it has none of this id. */
export function heldOrder(sql: Sql, organisationId: string, id: string): Promise<OrderRow | null> {
  return first(
    sql,
    `SELECT * FROM "part_order" WHERE "organisationId" = ? AND "id" = ?${forUpdate(sql)}`,
    [organisationId, id],
  );
}

/** Writes what became of an order. */
export async function settleOrder(
  sql: Sql,
  { id, receivedOn, receivedPieces, calledOffOn }: OrderRow,
): Promise<void> {
  await sql.run(
    'UPDATE "part_order" SET "receivedOn" = ?, "receivedPieces" = ?, "calledOffOn" = ?, "version" = "version" + 1 WHERE "id" = ?',
    [receivedOn, receivedPieces, calledOffOn, id],
  );
}

/** Orders that have neither come nor been called off, the one that is expected first at the head. */
export function ordersUnderway(sql: Sql, organisationId: string): Promise<OrderRow[]> {
  return sql.all(
    'SELECT * FROM "part_order" WHERE "organisationId" = ? AND "receivedOn" IS NULL AND "calledOffOn" IS NULL ORDER BY COALESCE("expectedOn", "orderedOn"), "id"',
    [organisationId],
  );
}

/** The last orders of a part, whatever became of them. */
export function ordersOfPart(
  sql: Sql,
  organisationId: string,
  part: string,
  most: number,
): Promise<OrderRow[]> {
  return sql.all(
    'SELECT * FROM "part_order" WHERE "organisationId" = ? AND "part" = ? ORDER BY "orderedOn" DESC, "id" DESC LIMIT ?',
    [organisationId, part, most],
  );
}
