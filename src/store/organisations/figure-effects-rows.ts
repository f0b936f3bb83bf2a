import type { Car, Top } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first } from '../database/sql.ts';

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

/** How many letters of an organisation have not left. */
export async function lettersOpenOf(sql: Sql, organisationId: string): Promise<number> {
  const row = await first<{ n: number }>(
    sql,
    `SELECT COUNT(*) AS "n" FROM "letter" WHERE "organisationId" = ? AND "state" IN ('planned', 'sending')`,
    [organisationId],
  );
  return row?.n ?? 0;
}
