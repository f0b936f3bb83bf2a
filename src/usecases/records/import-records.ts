import type { Fault } from '../../domain/refusal.ts';
import { Refused } from '../../domain/refusal.ts';
import { valuesThere } from '../../store/records/import-rows.ts';
import { withoutTrail } from '../../store/database/pen.ts';
import type { Sql } from '../../store/database/sql.ts';
import { insertRows } from '../../store/database/sql.ts';
import type { Context } from '../context/context.ts';
import type { Progress, Tally } from './export-records.ts';
import { hasNotLeft, insertSets, rowOf } from './insert-records.ts';
import { refreshAllLubrication } from '../own/lubrication-record.ts';
import type { OrganisationRecords, SetRecord } from './record-set.ts';
import { ORGANISATION, RECORD_SETS } from './record-sets.ts';
import { recordsIn } from './records-document.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';

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
  /** What else is to be said of a table; absent of a document. */
  readonly table?: {
    /** Columns that nothing was taken from. */
    readonly unused: readonly string[];
    /** Those of them that may say when the pivots were oiled last. */
    readonly mayBeOiling: readonly string[];
    readonly faults: readonly Fault[];
    /** Lines that were left out, and lines that say nothing new. */
    readonly refused: number;
    readonly same: number;
    /** Lines that name an earlier oiling than the last on record, which stands. */
    readonly oiledSince: number;
  };
}

/**
 * Takes in a document that `export` wrote: every record as it was, under its own id, all or nothing.
 * Refused by field where records do not hold together, and where one of them is there already.
 * Letters stay history: what had not left is kept as cancelled, and the next round looks at every
 * car afresh and writes what is still true.
 */
export async function importRecords(
  context: Context,
  text: string,
  { dryRun, progress = () => undefined }: ImportOptions,
): Promise<Imported> {
  const organisations = recordsIn(text);
  const at = context.now();
  const tally: Tally = { organisations: organisations.length };
  let lettersHeldBack = 0;
  for (const { sets } of organisations) {
    for (const [name, records] of sets) tally[name] = (tally[name] ?? 0) + records.length;
    lettersHeldBack += (sets.get('letters') ?? []).filter(hasNotLeft).length;
  }
  if (dryRun) await refuseKnown(context.store.sql, organisations);
  else {
    const work = async (sql: Sql): Promise<void> => {
      await refuseKnown(sql, organisations);
      for (const { organisation, sets } of organisations) {
        await insertRows(sql, ORGANISATION.table, [rowOf(ORGANISATION, organisation)]);
        const organisationId = String(organisation['id']);
        const told: Progress = (words) => progress(`${String(organisation['name'])}: ${words}`);
        await insertSets(sql, organisationId, sets, at, told);
        const own = ownFiguresFrom(JSON.stringify(organisation['ownRules']));
        await refreshAllLubrication(sql, organisationId, own);
      }
    };
    // The document brings the trail of its records along.
    await withoutTrail(() => context.store.writeSql(work));
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
