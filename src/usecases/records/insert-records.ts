import type { Instant } from '../../domain/calendar/instant.ts';
import { LOOK_NOW } from '../../domain/round/next-look.ts';
import type { Row } from '../../store/records/export-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { insertRows } from '../../store/database/sql.ts';
import type { Progress } from './export-records.ts';
import type { RecordSet, SetRecord } from './record-set.ts';
import { RECORD_SETS } from './record-sets.ts';
import { addressHashOf } from '../context/secret.ts';
import { portions } from '../context/turns.ts';

/**
 * Inserts records of an organisation that is there, set by set, with the columns that an export
 * leaves out. Letters become history: none of them can be sent any more.
 */
export async function insertSets(
  sql: Sql,
  organisationId: string,
  sets: ReadonlyMap<string, readonly SetRecord[]>,
  at: Instant,
  progress: Progress,
): Promise<void> {
  const heldBack = new Set(
    (sets.get('letters') ?? []).filter(hasNotLeft).map((letter) => letter['id']),
  );
  for (const set of RECORD_SETS) {
    const records = sets.get(set.name) ?? [];
    const { atOnce = RECORDS_AT_ONCE } = set;
    let done = 0;
    for await (const part of portions(records, atOnce)) {
      const rows = part.map((record) => ({
        ...rowOf(set, record),
        ...columnsThatFollow(set.name, record, at, heldBack),
        organisationId,
      }));
      if (set.beside === undefined) await insertRows(sql, set.table, rows);
      else await insertBeside(sql, set.table, set.beside, rows);
      done += part.length;
      progress(`${done} of ${records.length} ${set.name}`);
    }
  }
}

/** Inserts rows of which some columns stand in a table of their own. */
async function insertBeside(
  sql: Sql,
  table: string,
  beside: NonNullable<RecordSet['beside']>,
  rows: readonly Row[],
): Promise<void> {
  const stands = (row: Row, inTable: string) =>
    Object.entries(row).filter(
      ([column]) => beside.columns.includes(column) === (inTable === beside.table),
    );
  await insertRows(
    sql,
    table,
    rows.map((row) => Object.fromEntries(stands(row, table))),
  );
  await insertRows(
    sql,
    beside.table,
    rows.map((row) => ({
      [beside.id]: row['id'] ?? null,
      organisationId: row['organisationId'] ?? null,
      ...Object.fromEntries(stands(row, beside.table)),
    })),
  );
}

// Some milliseconds of the thread: reads go on beside the transaction.
const RECORDS_AT_ONCE = 100;

/** A record as its table keeps it. */
export function rowOf({ json = [] }: Pick<RecordSet, 'json'>, record: SetRecord): Row {
  return Object.fromEntries(
    Object.entries(record).map(([column, value]) => [
      column,
      json.includes(column) ? JSON.stringify(value) : (value as Row[string]),
    ]),
  );
}

/** What an export leaves out, because it follows from the rest or belonged to a running server. */
function columnsThatFollow(
  set: string,
  record: SetRecord,
  at: Instant,
  heldBack: ReadonlySet<unknown>,
): Row {
  switch (set) {
    case 'owners': {
      const { id, email, erasedAt } = record;
      const gone = `erased:${String(id)}`;
      return { addressHash: erasedAt === null ? addressHashOf(String(email)) : gone };
    }
    case 'cars':
      return { lookAt: LOOK_NOW };
    case 'letters':
      return { ...UNSENDABLE, ...letterState(record, at) };
    case 'letterOccasions':
      // As with every cancelled letter: the key is free for what is still true of it.
      return heldBack.has(record['letterId'])
        ? { key: `${String(record['key'])}#${String(record['letterId'])}` }
        : {};
    default:
      return {};
  }
}

const UNSENDABLE = {
  stopUrl: null,
  nextTryAt: null,
  leaseUntil: null,
  leaseToken: null,
  leaseHolder: null,
} as const;

function letterState(letter: SetRecord, at: Instant): Row {
  if (hasNotLeft(letter)) {
    return {
      state: 'cancelled',
      cancelledWhy: 'it had not left when its records were moved here',
      settledAt: at,
    };
  }
  // Nobody knows whether it arrived: it is not sent again, and what it says is not said twice.
  if (letter['state'] === 'sending') return { state: 'unknown' };
  return {};
}

/** True for a letter that certainly nobody has got. */
export function hasNotLeft({ state, startedAt }: SetRecord): boolean {
  return state === 'planned' || (state === 'sending' && startedAt === null);
}
