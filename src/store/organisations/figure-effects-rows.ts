import type { Car, Top } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';

/** The due day of every top on a car of an organisation, by registration. */
export function dueDaysOf(
  sql: Sql,
  organisationId: string,
): Promise<(Pick<Car, 'registration'> & Pick<Top, 'dueOn'> & { topId: string })[]> {
  return sql.all(
    'SELECT t."id" AS "topId", c."registration", t."dueOn" FROM "top" t JOIN "car" c ON c."id" = t."carId" WHERE t."organisationId" = ? AND t."retiredOn" IS NULL ORDER BY c."registration", t."id"',
    [organisationId],
  );
}

/** The letters of an organisation that have not left. */
export async function lettersOpenOf(sql: Sql, organisationId: string): Promise<string[]> {
  const rows = await sql.all<{ id: string }>(
    `SELECT "id" FROM "letter" WHERE "organisationId" = ? AND "state" IN ('planned', 'sending')`,
    [organisationId],
  );
  return rows.map(({ id }) => id);
}
