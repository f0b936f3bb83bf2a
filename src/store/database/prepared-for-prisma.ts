import type BetterSqlite3 from 'better-sqlite3';
import { KnownTexts } from './known-texts.ts';

/** What Prisma's adapter asks of the driver. */
export type AdapterClient = Pick<BetterSqlite3.Database, 'exec' | 'close'> & {
  prepare(text: string): { bind(values: readonly unknown[]): Ready };
};

/** A statement with its values, which is run once. */
type Ready = Pick<BetterSqlite3.Statement, 'reader' | 'columns' | 'run'> & {
  raw(): { all(): unknown[] };
};

/**
 * A connection as Prisma's adapter uses it, on which the same text is prepared once. The adapter itself
 * prepares at every call, and a change to a table is prepared with all of the triggers that follow it.
 */
export function preparedForPrisma(handle: BetterSqlite3.Database): AdapterClient {
  const known = new KnownTexts((text) => {
    const statement = handle.prepare<[readonly unknown[]]>(text);
    if (!statement.reader) return { statement, columns: [] };
    return { statement: statement.raw(), columns: statement.columns() };
  });
  return {
    exec: (script) => handle.exec(script),
    close: () => handle.close(),
    prepare: (text) => ({
      bind: (values) => {
        const { statement, columns } = known.of(text);
        return {
          reader: statement.reader,
          columns: () => columns,
          run: () => statement.run(values),
          raw: () => ({ all: () => statement.all(values) }),
        };
      },
    }),
  };
}
