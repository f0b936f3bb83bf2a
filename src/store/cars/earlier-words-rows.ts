import type { Car, Top } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';

type Worded =
  | { readonly table: 'car'; readonly column: keyof Pick<Car, 'make' | 'model' | 'colour'> }
  | {
      readonly table: 'top';
      readonly column: keyof Pick<Top, 'coverName' | 'coverColour' | 'windowMade'>;
    };

/** What an organisation has written in a column before, in the order of the alphabet. */
export async function earlierWords(
  sql: Sql,
  organisationId: string,
  { table, column }: Worded,
): Promise<string[]> {
  const rows = await sql.all<{ word: string }>(
    `SELECT DISTINCT "${column}" AS "word" FROM "${table}" WHERE "organisationId" = ? AND "${column}" IS NOT NULL ORDER BY 1 LIMIT 200`,
    [organisationId],
  );
  return rows.map(({ word }) => word);
}
