import type { Sql, SqlValue } from '../database/sql.ts';
import { marks } from '../database/sql.ts';

export type Row = Record<string, SqlValue>;

/** Where the rows of one kind of record stand. */
export interface RowSource {
  readonly table: string;
  readonly columns: readonly string[];
  /** The columns of the key; rows come in its order. */
  readonly key: readonly string[];
}

/**
 * The rows of an organisation, a few hundred at a time, so that no more than that is ever in memory.
 */
export async function* rowsOf(
  sql: Sql,
  { table, columns, key }: RowSource,
  organisationId: string,
): AsyncGenerator<Row[]> {
  const listed = columns.map((column) => `"${column}"`).join(', ');
  const order = key.map((column) => `"${column}"`).join(', ');
  const from = `SELECT ${listed} FROM "${table}" WHERE "organisationId" = ?`;
  let after: SqlValue[] = [];
  for (;;) {
    const beyond = after.length === 0 ? '' : ` AND (${order}) > (${marks(key.length)})`;
    const rows = await sql.all<Row>(`${from}${beyond} ORDER BY ${order} LIMIT ${ROWS_AT_ONCE}`, [
      organisationId,
      ...after,
    ]);
    if (rows.length > 0) yield rows;
    const last = rows.at(-1);
    if (last === undefined || rows.length < ROWS_AT_ONCE) return;
    after = key.map((column) => last[column] ?? null);
  }
}

const ROWS_AT_ONCE = 200;

/** The organisations by id, or the one of a name. */
export function organisationRows(
  sql: Sql,
  columns: readonly string[],
  name: string | null,
): Promise<Row[]> {
  const listed = columns.map((column) => `"${column}"`).join(', ');
  return name === null
    ? sql.all(`SELECT ${listed} FROM "organisation" ORDER BY "id"`)
    : sql.all(`SELECT ${listed} FROM "organisation" WHERE "name" = ?`, [name]);
}

/** A car with its owner and the top that is on it, as one line of a table. */
export type TableRow = {
  id: string;
  name: string;
  email: string;
  phone: string | null;
  timeZone: string;
  language: string;
  registration: string;
  place: string | null;
  salt: string | null;
  use: string | null;
  foldsPerYear: number | null;
  foldedLimitDays: number;
  fittedOn: string | null;
  framePattern: string | null;
  material: string | null;
  window: string | null;
};

/** Every car of an organisation with an owner who was not erased, a few hundred at a time. */
export async function* tableRowsOf(sql: Sql, organisationId: string): AsyncGenerator<TableRow[]> {
  let after = '';
  for (;;) {
    const rows = await sql.all<TableRow>(
      `SELECT c."id", o."name", o."email", o."phone", o."timeZone", o."language", c."registration", c."place", c."salt", c."use", c."foldsPerYear", c."foldedLimitDays", t."fittedOn", t."framePattern", t."material", t."window" FROM "car" c JOIN "owner" o ON o."id" = c."ownerId" LEFT JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL WHERE c."organisationId" = ? AND o."erasedAt" IS NULL AND c."id" > ? ORDER BY c."id" LIMIT ${ROWS_AT_ONCE}`,
      [organisationId, after],
    );
    if (rows.length > 0) yield rows;
    const last = rows.at(-1);
    if (last === undefined || rows.length < ROWS_AT_ONCE) return;
    after = last.id;
  }
}
