import type { WholeLetter } from '../../src/store/letters/letter-rows.ts';
import type { Sql, SqlCarried } from '../../src/store/database/sql.ts';

/** The letters that are stored, with what they say, in the order of their ids; `where` is about a row `l`. */
export function wholeLetters(
  sql: Sql,
  where = '1 = 1',
  values: readonly SqlCarried[] = [],
): Promise<WholeLetter[]> {
  return sql.all(
    `SELECT l.*, b."text", b."html", b."calendar" FROM "letter" l JOIN "letter_body" b ON b."letterId" = l."id" WHERE ${where} ORDER BY l."id"`,
    values,
  );
}

/** Takes care notes that wait out: advice comes and goes with the season. */
export async function dropCareNotes(sql: Sql): Promise<void> {
  const notes = `"kind" = 'care-note' AND "state" = 'planned'`;
  await sql.run(
    `DELETE FROM "letter_body" WHERE "letterId" IN (SELECT "id" FROM "letter" WHERE ${notes})`,
  );
  await sql.run(`DELETE FROM "letter" WHERE ${notes}`);
}
