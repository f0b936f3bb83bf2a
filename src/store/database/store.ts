import type { PrismaClient } from '../generated/sqlite/client.ts';
import type { Sql } from './sql.ts';

/** The part of Prisma that may be used inside a transaction. */
export type Records = Omit<
  PrismaClient,
  '$connect' | '$disconnect' | '$on' | '$transaction' | '$extends'
>;

/** An open write transaction: records through Prisma, sets through SQL, on one connection. */
export interface Writing {
  readonly records: Records;
  readonly sql: Sql;
}

/**
 * The one way to the database. Reads see only what is committed. Every write goes through `write` or
 * `writeSql`, and is told what came of it once the disk has that. On SQLite they are done one after the
 * other by one writer, and those that come at once share a commit. Do not call one inside the other, and
 * never wait for mail or network inside.
 */
export interface Store {
  readonly dialect: 'sqlite' | 'postgresql';
  readonly records: Records;
  readonly sql: Sql;
  write<T>(work: (tx: Writing) => Promise<T>): Promise<T>;
  /** A write transaction without Prisma, for the hot paths. */
  writeSql<T>(work: (sql: Sql) => Promise<T>): Promise<T>;
  /**
   * Work whose every read and write through this store is one transaction, whoever makes them: all of
   * it is kept, or, where it throws, none. A write inside that fails is undone by itself, and so is
   * such work inside such work. On SQLite nobody else writes meanwhile, so keep it short.
   */
  together<T>(work: () => Promise<T>): Promise<T>;
  /** Copies the whole database into a new file while it is in use (SQLite only). */
  backupTo(file: string): Promise<void>;
  /** Throws what somebody who reads the database afresh would meet. */
  probe(): Promise<void>;
  close(): Promise<void>;
}
