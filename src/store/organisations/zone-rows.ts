import type { Sql } from '../database/sql.ts';

/** Every time zone that a record goes by. */
export async function zonesInUse(sql: Sql): Promise<string[]> {
  const rows = await sql.all<{ timeZone: string }>(
    'SELECT "timeZone" FROM "organisation" UNION SELECT "timeZone" FROM "owner" UNION SELECT "timeZone" FROM "car" ORDER BY 1',
  );
  return rows.map(({ timeZone }) => timeZone);
}
