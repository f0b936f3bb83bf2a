/** What a column can hold. Booleans are stored as 0/1 on SQLite and read back by `flag`. */
export type SqlValue = string | number | boolean | null;

/** What a statement can carry in the place of one mark: a value, or a whole list for `AMONG`. */
export type SqlCarried = SqlValue | readonly string[];

/**
 * Behind a column: that it is one of a list, which is carried as one value, so that the text is the same
 * however long the list. As SQLite reads it; for PostgreSQL `asPostgresql` says it with an array.
 */
export const AMONG = 'IN (SELECT "value" FROM json_each(?))';

/** A text of ours as PostgreSQL reads it: marks are numbered, and lists are arrays. */
export function asPostgresql(text: string): string {
  let n = 0;
  return text.replaceAll(AMONG, '= ANY(?)').replace(/\?/g, () => `$${++n}`);
}

/**
 * Plain SQL for the set-based paths. Statements are written once for both databases: `?` for values,
 * double quotes round column names, text for days and instants.
 */
export interface Sql {
  readonly dialect: 'sqlite' | 'postgresql';
  /** All rows of a query. */
  all<Row>(text: string, values?: readonly SqlCarried[]): Promise<Row[]>;
  /** Runs a statement; the number of rows it changed. */
  run(text: string, values?: readonly SqlCarried[]): Promise<number>;
}

/** The first row or null. */
export async function first<Row>(
  sql: Sql,
  text: string,
  values: readonly SqlCarried[] = [],
): Promise<Row | null> {
  return (await sql.all<Row>(text, values))[0] ?? null;
}

/** Reads a stored boolean, which SQLite gives back as 0 or 1. */
export function flag(value: unknown): boolean {
  return value === true || value === 1;
}

/** `?, ?, ?` for as many columns. For a list of values, whose length nobody knows, use `AMONG`. */
export function marks(count: number): string {
  return Array.from({ length: count }, () => '?').join(', ');
}

/**
 * The rows with the last repeated until there are 1, 2, 4, 8 … of them: a text that names each row is then
 * one of a handful. For statements to which a row that comes twice says no more than once.
 */
export function padded<Row>(rows: readonly Row[]): readonly Row[] {
  const last = rows.at(-1);
  if (last === undefined) return rows;
  const missing = 2 ** Math.ceil(Math.log2(rows.length)) - rows.length;
  return [...rows, ...Array.from({ length: missing }, () => last)];
}

/** Locks the selected rows until the transaction ends; SQLite has one writer and needs no lock. */
export function forUpdate(sql: Sql): string {
  return sql.dialect === 'postgresql' ? ' FOR UPDATE' : '';
}

/** Locks those of the selected rows that nobody else has locked, and leaves out the others. */
export function forUpdateOfFree(sql: Sql): string {
  return sql.dialect === 'postgresql' ? ' FOR UPDATE SKIP LOCKED' : '';
}

/** Lets others read the selected rows but not change them until the transaction ends. */
export function forShare(sql: Sql): string {
  return sql.dialect === 'postgresql' ? ' FOR SHARE' : '';
}

/**
 * Holds a name until the transaction ends, however it ends; false where another transaction holds it.
 * SQLite has one writer, so whoever comes second finds what the first has done.
 */
export async function holdName(sql: Sql, name: string): Promise<boolean> {
  if (sql.dialect === 'sqlite') return true;
  const row = await first<{ held: boolean }>(
    sql,
    'SELECT pg_try_advisory_xact_lock(hashtextextended(?, 0)) AS "held"',
    [name],
  );
  return row?.held === true;
}

/**
 * Whether a statement failed because a unique value was taken: by somebody whose transaction was not
 * yet visible when the value was looked for. The transaction is over then.
 */
export function isTaken(fault: unknown): boolean {
  const code = fault instanceof Error && 'code' in fault ? fault.code : null;
  return code === PG_UNIQUE || code === 'SQLITE_CONSTRAINT_UNIQUE';
}

// PostgreSQL, appendix A: unique_violation.
const PG_UNIQUE = '23505';

/**
 * Inserts many rows in as few statements as the database's limit on values allows.
 * Rows that meet a unique key already there are left out when `orIgnore` is set. Returns the count.
 */
export async function insertRows(
  sql: Sql,
  table: string,
  rows: readonly Readonly<Record<string, SqlValue>>[],
  orIgnore = false,
): Promise<number> {
  const sample = rows[0];
  if (sample === undefined) return 0;
  const columns = Object.keys(sample);
  const most = Math.max(1, Math.floor(VALUES_PER_STATEMENT / columns.length));
  const one = `(${marks(columns.length)})`;
  const names = columns.map((column) => `"${column}"`).join(', ');
  let inserted = 0;
  for (let start = 0, size = 0; start < rows.length; start += size) {
    // Powers of two: a handful of texts for any number of rows, so that each is compiled once.
    size = 2 ** Math.floor(Math.log2(Math.min(most, rows.length - start)));
    const part = rows.slice(start, start + size);
    const values: SqlValue[] = [];
    for (const row of part) for (const column of columns) values.push(row[column] ?? null);
    const text = `INSERT INTO "${table}" (${names}) VALUES ${part.map(() => one).join(', ')}${
      orIgnore ? ' ON CONFLICT DO NOTHING' : ''
    }`;
    inserted += await sql.run(text, values);
  }
  return inserted;
}

// SQLite allows 32,766 values and PostgreSQL 65,535; beyond this, longer texts save nothing more.
const VALUES_PER_STATEMENT = 2_000;

/** Whether the database answers a question; throws what it says where it cannot be reached. */
export async function answers(sql: Sql): Promise<boolean> {
  return (await first<{ one: number }>(sql, 'SELECT 1 AS "one"'))?.one === 1;
}
