import type { Sql, SqlValue } from '../database/sql.ts';
import { insertRows, marks } from '../database/sql.ts';

export type WholeRow = Record<string, SqlValue>;

/** A table of records as the database itself describes it. */
export interface WholeTable {
  readonly table: string;
  readonly columns: readonly { readonly name: string; readonly isFlag: boolean }[];
  /** The columns of the key, in its order. */
  readonly key: readonly string[];
}

// What is no record: which migrations ran, which processes live, that records moved, and what is
// reckoned from others and kept.
const LEFT_OUT = ['_prisma_migrations', 'holder', 'moved', 'car_kept', 'organisation_kept'];
// Two tables whose rows must be there before those of others.
const FIRST = ['organisation', 'owner', 'car'];

/** All tables of records with their columns, those first that others point to. */
export async function wholeTables(sql: Sql): Promise<WholeTable[]> {
  const rows = await sql.all<{ table: string; column: string; type: string; key: number }>(
    sql.dialect === 'sqlite'
      ? `SELECT m."name" AS "table", c."name" AS "column", c."type" AS "type", c."pk" AS "key" FROM sqlite_master m JOIN pragma_table_info(m."name") c WHERE m."type" = 'table' AND m."name" NOT LIKE 'sqlite_%' ORDER BY m."name", c."name"`
      : `SELECT c.table_name AS "table", c.column_name AS "column", c.data_type AS "type", COALESCE(k.ordinal_position, 0)::int AS "key" FROM information_schema.columns c LEFT JOIN information_schema.table_constraints t ON t.table_schema = c.table_schema AND t.table_name = c.table_name AND t.constraint_type = 'PRIMARY KEY' LEFT JOIN information_schema.key_column_usage k ON k.constraint_schema = t.constraint_schema AND k.constraint_name = t.constraint_name AND k.column_name = c.column_name WHERE c.table_schema = current_schema() ORDER BY c.table_name, c.column_name`,
  );
  const names = [...new Set(rows.map(({ table }) => table))].filter(
    (name) => !LEFT_OUT.includes(name),
  );
  const rank = (name: string) => (FIRST.includes(name) ? FIRST.indexOf(name) : FIRST.length);
  return names
    .sort((a, b) => rank(a) - rank(b) || (a < b ? -1 : 1))
    .map((table) => {
      const own = rows.filter((row) => row.table === table);
      return {
        table,
        columns: own.map(({ column, type }) => ({ name: column, isFlag: type === 'boolean' })),
        key: own
          .filter(({ key }) => key > 0)
          .sort((a, b) => a.key - b.key)
          .map(({ column }) => column),
      };
    });
}

/** All rows of a table in the order of its key, so many at a time. */
export async function* allRows(
  sql: Sql,
  { table, columns, key }: WholeTable,
): AsyncGenerator<WholeRow[]> {
  const listed = columns.map(({ name }) => `"${name}"`).join(', ');
  const order = key.map((name) => `"${name}"`).join(', ');
  const most = LARGE_ROWS[table] ?? ROWS_AT_ONCE;
  let after: SqlValue[] = [];
  for (;;) {
    const beyond = after.length === 0 ? '' : ` WHERE (${order}) > (${marks(key.length)})`;
    const rows = await sql.all<WholeRow>(
      `SELECT ${listed} FROM "${table}"${beyond} ORDER BY ${order} LIMIT ${most}`,
      after,
    );
    if (rows.length > 0) yield rows;
    const last = rows.at(-1);
    if (last === undefined || rows.length < most) return;
    after = key.map((name) => last[name] ?? null);
  }
}

const ROWS_AT_ONCE = 1_000;
// A photo takes some hundred kilobytes.
const LARGE_ROWS: Readonly<Record<string, number>> = { photo_data: 20 };

/** Puts rows into a table; those whose key is there already stay as they are. */
export function addRows(
  sql: Sql,
  { table, columns }: WholeTable,
  rows: readonly WholeRow[],
): Promise<number> {
  const flags = columns.filter(({ isFlag }) => isFlag).map(({ name }) => name);
  const fitted = rows.map((row) => {
    const own = { ...row };
    for (const name of flags) if (own[name] !== null) own[name] = own[name] === 1;
    return own;
  });
  return insertRows(sql, table, fitted, true);
}
