import type { Sql } from '../database/sql.ts';
import { AMONG } from '../database/sql.ts';

/** Which of these values stand in a column already, whoever's they are. */
export async function valuesThere(
  sql: Sql,
  table: string,
  column: string,
  values: readonly string[],
): Promise<Set<string>> {
  const there = new Set<string>();
  for (let start = 0; start < values.length; start += VALUES_AT_ONCE) {
    const part = values.slice(start, start + VALUES_AT_ONCE);
    const rows = await sql.all<{ value: string }>(
      `SELECT "${column}" AS "value" FROM "${table}" WHERE "${column}" ${AMONG}`,
      [part],
    );
    for (const { value } of rows) there.add(value);
  }
  return there;
}

const VALUES_AT_ONCE = 500;

export interface OwnerThere {
  id: string;
  addressHash: string;
  email: string;
  timeZone: string;
}

/** The owners of an organisation at these addresses, erased ones left out. */
export async function ownersThere(
  sql: Sql,
  organisationId: string,
  addressHashes: readonly string[],
): Promise<OwnerThere[]> {
  const there: OwnerThere[] = [];
  for (let start = 0; start < addressHashes.length; start += VALUES_AT_ONCE) {
    const part = addressHashes.slice(start, start + VALUES_AT_ONCE);
    const rows = await sql.all<OwnerThere>(
      `SELECT "id", "addressHash", "email", "timeZone" FROM "owner" WHERE "organisationId" = ? AND "erasedAt" IS NULL AND "addressHash" ${AMONG} ORDER BY "id"`,
      [organisationId, part],
    );
    there.push(...rows);
  }
  return there;
}
