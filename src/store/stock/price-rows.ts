import type { PriceSetting } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, forUpdate } from '../database/sql.ts';

export type PriceRow = PriceSetting;

/** What work costs in an organisation; null until it has said so. */
export function pricesOf(sql: Sql, organisationId: string, lock = false): Promise<PriceRow | null> {
  return first(
    sql,
    `SELECT * FROM "price_setting" WHERE "organisationId" = ?${lock ? forUpdate(sql) : ''}`,
    [organisationId],
  );
}

/** Writes what work costs; false where somebody else has said so first. */
export async function writePrices(sql: Sql, row: PriceRow, known: boolean): Promise<boolean> {
  const { organisationId, currency, hourRate, taxRate, taxName, version } = row;
  const written = known
    ? await sql.run(
        'UPDATE "price_setting" SET "currency" = ?, "hourRate" = ?, "taxRate" = ?, "taxName" = ?, "version" = ? WHERE "organisationId" = ?',
        [currency, hourRate, taxRate, taxName, version, organisationId],
      )
    : await sql.run(
        'INSERT INTO "price_setting" ("organisationId", "currency", "hourRate", "taxRate", "taxName", "version") VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING',
        [organisationId, currency, hourRate, taxRate, taxName, version],
      );
  return written === 1;
}
