import type { Instant } from '../domain/calendar/instant.ts';
import { Refused } from '../domain/refusal.ts';
import { LOOK_NOW } from '../domain/round/next-look.ts';
import type { Row } from '../store/export-rows.ts';
import { valuesThere } from '../store/export-rows.ts';
import type { Sql } from '../store/sql.ts';
import { insertRows } from '../store/sql.ts';
import type { Deed } from './deed.ts';
import type { Progress, Tally } from './export-records.ts';
import { refreshAllLubrication } from './lubrication-record.ts';
import type { OrganisationRecords, RecordSet, SetRecord } from './record-sets.ts';
import { ORGANISATION, RECORD_SETS } from './record-sets.ts';
import { recordsIn } from './records-document.ts';
import { addressHashOf } from './secret.ts';
import { ownFiguresFrom } from './shop-rules.ts';

export interface ImportOptions {
  /** Check everything and write nothing. */
  readonly dryRun: boolean;
  readonly progress?: Progress;
}

export interface Imported {
  readonly what: 'records' | 'table';
  readonly tally: Tally;
  /** Letters that had not left when they were exported. They are kept, and do not leave any more. */
  readonly lettersHeldBack: number;
}

/**
 * Takes in a document that `export` wrote: every record as it was, under its own id, all or nothing.
 * Refused by field where records do not hold together, and where one of them is there already.
 * Letters stay history: what had not left is kept as cancelled, and the next round looks at every
 * car afresh and writes what is still true.
 */
export async function importRecords(
  deed: Deed,
  text: string,
  { dryRun, progress = () => undefined }: ImportOptions,
): Promise<Imported> {
  const organisations = recordsIn(text);
  const at = deed.now();
  const tally: Tally = { organisations: organisations.length };
  let lettersHeldBack = 0;
  for (const { sets } of organisations) {
    for (const [name, records] of sets) tally[name] = (tally[name] ?? 0) + records.length;
    lettersHeldBack += (sets.get('letters') ?? []).filter(hasNotLeft).length;
  }
  if (dryRun) await refuseKnown(deed.store.sql, organisations);
  else {
    await deed.store.writeSql(async (sql) => {
      await refuseKnown(sql, organisations);
      for (const one of organisations) await insertOrganisation(sql, one, at, progress);
    });
  }
  return { what: 'records', tally, lettersHeldBack };
}

async function refuseKnown(sql: Sql, organisations: readonly OrganisationRecords[]): Promise<void> {
  const valuesIn = (records: readonly SetRecord[], column: string) =>
    records.map((record) => String(record[column]));
  const all = organisations.map(({ organisation }) => organisation);
  const known: string[] = [];
  for (const column of ['id', 'name']) {
    const there = await valuesThere(sql, ORGANISATION.table, column, valuesIn(all, column));
    known.push(...[...there].map((value) => `organisation ${value}`));
  }
  for (const { name, table, key, unique = [] } of RECORD_SETS) {
    const records = organisations.flatMap(({ sets }) => sets.get(name) ?? []);
    for (const column of new Set([...(key[0] === 'id' ? ['id'] : []), ...unique])) {
      const there = await valuesThere(sql, table, column, valuesIn(records, column));
      if (there.size > 0) known.push(`${there.size} of the ${name}`);
    }
  }
  if (known.length === 0) return;
  const detail = `Some of these records are here already: ${[...new Set(known)].join(', ')}. Nothing was imported. Import into a database that does not have them.`;
  throw new Refused({ kind: 'conflict', detail });
}

async function insertOrganisation(
  sql: Sql,
  { organisation, sets }: OrganisationRecords,
  at: Instant,
  progress: Progress,
): Promise<void> {
  const organisationId = String(organisation['id']);
  await insertRows(sql, ORGANISATION.table, [rowOf(ORGANISATION, organisation)]);
  const heldBack = new Set(
    (sets.get('letters') ?? []).filter(hasNotLeft).map((letter) => letter['id']),
  );
  for (const set of RECORD_SETS) {
    const records = sets.get(set.name) ?? [];
    for (let start = 0; start < records.length; start += RECORDS_AT_ONCE) {
      const part = records.slice(start, start + RECORDS_AT_ONCE);
      const rows = part.map((record) => ({
        ...rowOf(set, record),
        ...columnsThatFollow(set.name, record, at, heldBack),
        organisationId,
      }));
      await insertRows(sql, set.table, rows);
      progress(`${String(organisation['name'])}: ${start + part.length} ${set.name}`);
    }
  }
  const own = ownFiguresFrom(JSON.stringify(organisation['ownRules']));
  await refreshAllLubrication(sql, organisationId, own);
}

const RECORDS_AT_ONCE = 2_000;

function rowOf({ json = [] }: Pick<RecordSet, 'json'>, record: SetRecord): Row {
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

const UNSENDABLE = { stopUrl: null, nextTryAt: null, leaseUntil: null, leaseToken: null } as const;

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

function hasNotLeft({ state, startedAt }: SetRecord): boolean {
  return state === 'planned' || (state === 'sending' && startedAt === null);
}
