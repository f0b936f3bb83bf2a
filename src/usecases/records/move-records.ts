import { createHash } from 'node:crypto';
import type { Instant } from '../../domain/calendar/instant.ts';
import { Refused } from '../../domain/refusal.ts';
import { forgetMoved, movedOf, noteMoved } from '../../store/database/moved-rows.ts';
import { openToMove } from '../../store/database/open-store.ts';
import { withoutTrail } from '../../store/database/pen.ts';
import type { Store } from '../../store/database/store.ts';
import { refuseWhileServed } from '../context/no-server.ts';
import type { WholeTable } from '../../store/records/whole-tables.ts';
import { addRows, allRows, wholeTables } from '../../store/records/whole-tables.ts';

export interface MoveRequest {
  /** `file:…` */
  readonly from: string;
  /** `postgresql://…` */
  readonly to: string;
  readonly at: Instant;
  readonly dryRun: boolean;
  readonly progress: (words: string) => void;
}

export interface MovedTable {
  readonly table: string;
  readonly rows: number;
  /** Of which so many were there already, from an earlier run. */
  readonly before: number;
}

/**
 * Carries all records of a SQLite file, keys, letters and trail too, into an empty PostgreSQL database,
 * and compares counts and checksums of every table at the end. It may be stopped or killed at any
 * point and run again; until it has ended the new database refuses to serve, and afterwards the old
 * one does, or both would send the same letters. Refused while a server has the file open, or serves the
 * other database.
 */
export async function moveRecords(request: MoveRequest): Promise<MovedTable[]> {
  if (!request.from.startsWith('file:') || !/^postgres(?:ql)?:/.test(request.to)) {
    const detail =
      'Records move from a SQLite file to PostgreSQL: --from file:PATH --to postgresql://…';
    throw new Refused({ kind: 'conflict', detail });
  }
  const source = await openToMove(request.from);
  try {
    const target = await openToMove(request.to);
    try {
      await refuseWhileServed(target);
      return await withoutTrail(() => carry(source, target, request));
    } finally {
      await target.close();
    }
  } finally {
    await source.close();
  }
}

async function carry(
  source: Store,
  target: Store,
  { from, to, at, dryRun, progress }: MoveRequest,
): Promise<MovedTable[]> {
  const own = await wholeTables(source.sql);
  const theirs = await wholeTables(target.sql);
  await refuseUnfit(source, target, own, theirs);
  if (!dryRun) {
    const coming = { way: 'from', other: placeOf(from), at } as const;
    await target.writeSql((sql) => noteMoved(sql, coming));
  }
  const moved: MovedTable[] = [];
  for (const table of own) {
    const fitting = theirs.find((other) => other.table === table.table) ?? table;
    const there = await digestOf(target, fitting);
    let rows = 0;
    for await (const part of allRows(source.sql, table)) {
      if (!dryRun) await target.writeSql((sql) => addRows(sql, fitting, part));
      rows += part.length;
      progress(`${table.table}: ${rows}`);
    }
    if (!dryRun) await compare(source, target, table, fitting);
    moved.push({ table: table.table, rows, before: there.rows });
  }
  if (dryRun) return moved;
  // First the old one is shut: a death in between leaves both shut, and a further run opens the new.
  const gone = { way: 'to', other: placeOf(to), at } as const;
  await source.writeSql((sql) => noteMoved(sql, gone));
  await target.writeSql((sql) => forgetMoved(sql));
  return moved;
}

async function refuseUnfit(
  source: Store,
  target: Store,
  own: readonly WholeTable[],
  theirs: readonly WholeTable[],
): Promise<void> {
  const shape = (tables: readonly WholeTable[]) =>
    tables.map(({ table, columns }) => `${table}(${columns.map(({ name }) => name).join()})`);
  const lacking = shape(own).filter((table) => !shape(theirs).includes(table));
  if (lacking.length > 0) {
    const detail = `The databases hold different tables, which is a fault of the program: ${lacking.join('; ')}`;
    throw new Refused({ kind: 'conflict', detail });
  }
  const coming = await movedOf(target.sql);
  if (coming !== null && coming.way === 'from') return;
  const going = await movedOf(source.sql);
  if (going !== null) {
    const detail = `These records moved to ${going.other} before. To move them again, restore a backup made before that.`;
    throw new Refused({ kind: 'conflict', detail });
  }
  for (const table of theirs) {
    if ((await digestOf(target, table)).rows === 0) continue;
    const detail = `The new database is not empty: it holds rows of ${table.table}. Make an empty one with createdb.`;
    throw new Refused({ kind: 'conflict', detail });
  }
}

async function compare(
  source: Store,
  target: Store,
  own: WholeTable,
  theirs: WholeTable,
): Promise<void> {
  const [here, there] = [await digestOf(source, own), await digestOf(target, theirs)];
  if (here.rows === there.rows && here.sum === there.sum) return;
  const detail = `${own.table} differs after it was carried over (${here.rows} and ${there.rows} rows): did somebody write into the new database? Make an empty one and begin anew.`;
  throw new Refused({ kind: 'conflict', detail });
}

/** Count and checksum of a table, whatever order its rows come in. */
async function digestOf(store: Store, table: WholeTable): Promise<{ rows: number; sum: string }> {
  let rows = 0;
  const sum = Buffer.alloc(32);
  for await (const part of allRows(store.sql, table)) {
    for (const row of part) {
      const values = table.columns.map(({ name }) => plain(row[name] ?? null));
      const digest = createHash('sha256').update(JSON.stringify(values)).digest();
      for (let i = 0; i < sum.length; i++) sum[i] = (sum[i] ?? 0) ^ (digest[i] ?? 0);
    }
    rows += part.length;
  }
  return { rows, sum: sum.toString('hex') };
}

/** Truths are 0 and 1 in one database and false and true in the other. */
function plain(value: unknown): unknown {
  return typeof value === 'boolean' ? Number(value) : value;
}

/** Which database it is, for people, without user and password. */
function placeOf(url: string): string {
  if (url.startsWith('file:')) return url.slice('file:'.length);
  const { host, pathname } = new URL(url);
  return `PostgreSQL at ${host}${pathname}`;
}
