import { framePatternNamed } from '../../domain/pivots/frame-patterns.ts';
import type { Fault } from '../../domain/refusal.ts';
import type { OrganisationRecords, SetRecord } from './record-set.ts';
import { RECORD_SETS } from './record-sets.ts';

/** A record with the place where it stands in the document. */
interface Placed {
  readonly pointer: string;
  readonly record: SetRecord;
}
type Finder = (set: string, id: unknown) => SetRecord | undefined;

/** What does not hold together between the records of an export, each with its JSON pointer. */
export function recordFaults(organisations: readonly OrganisationRecords[]): Fault[] {
  const everywhere = new Map<string, Set<unknown>>();
  const faults = twice(
    organisations.map(({ organisation }, i) => ({
      pointer: `#/organisations/${i}`,
      record: organisation,
    })),
    'id',
    new Set(),
  );
  for (const [i, { sets }] of organisations.entries()) {
    const placed = new Map(
      [...sets].map(([name, records]) => [
        name,
        records.map((record, nth) => ({
          pointer: `#/organisations/${i}/${name}/${nth}`,
          record,
        })),
      ]),
    );
    faults.push(...keyFaults(placed, everywhere));
    const find = finderOf(sets);
    faults.push(...referenceFaults(placed, find));
    faults.push(...topFaults(placed), ...visitFaults(placed, find));
  }
  return faults;
}

function finderOf(sets: OrganisationRecords['sets']): Finder {
  const byId = new Map(
    [...sets].map(([name, records]) => [name, new Map(records.map((one) => [one['id'], one]))]),
  );
  return (set, id) => byId.get(set)?.get(id);
}

type Sets = ReadonlyMap<string, readonly Placed[]>;

/** Ids and other values that may stand once in all records; keys that may stand once in a set. */
function keyFaults(placed: Sets, everywhere: Map<string, Set<unknown>>): Fault[] {
  return RECORD_SETS.flatMap(({ name, key, unique = [] }) => {
    const records = placed.get(name) ?? [];
    const faults: Fault[] = [];
    for (const column of new Set([...(key[0] === 'id' ? ['id'] : []), ...unique])) {
      const seen = everywhere.get(`${name} ${column}`) ?? new Set();
      everywhere.set(`${name} ${column}`, seen);
      faults.push(...twice(records, column, seen));
    }
    if (key[0] === 'id') return faults;
    const keyed = records.map(({ pointer, record }) => ({
      pointer,
      record: { key: JSON.stringify(key.map((column) => record[column])) },
    }));
    return unique.includes(key[0] ?? '') ? faults : [...faults, ...twice(keyed, 'key', new Set())];
  });
}

function twice(records: readonly Placed[], column: string, seen: Set<unknown>): Fault[] {
  return records.flatMap(({ pointer, record }) => {
    const value = record[column];
    if (!seen.has(value)) {
      seen.add(value);
      return [];
    }
    return [{ pointer: `${pointer}/${column}`, detail: `${String(value)} stands here twice.` }];
  });
}

function referenceFaults(placed: Sets, find: Finder): Fault[] {
  return RECORD_SETS.flatMap(({ name, refers = {} }) =>
    (placed.get(name) ?? []).flatMap(({ pointer, record }) =>
      Object.entries(refers).flatMap(([column, set]) => {
        const referred = record[column];
        if (referred === null || find(set, referred) !== undefined) return [];
        const detail = `There is no record ${JSON.stringify(referred)} among the ${set} of this organisation.`;
        return [{ pointer: `${pointer}/${column}`, detail }];
      }),
    ),
  );
}

function topFaults(placed: Sets): Fault[] {
  const patterns = new Set((placed.get('framePatterns') ?? []).map(({ record }) => record['name']));
  const covered = new Set<unknown>();
  return (placed.get('tops') ?? []).flatMap(({ pointer, record }) => {
    const { carId, fittedOn, retiredOn, framePattern } = record;
    const faults: Fault[] = [];
    if (retiredOn === null && covered.has(carId)) {
      const detail = 'Another top is on this car. Only one can be: the others have retired.';
      faults.push({ pointer: `${pointer}/retiredOn`, detail });
    }
    if (retiredOn === null) covered.add(carId);
    if (typeof retiredOn === 'string' && retiredOn < String(fittedOn)) {
      const detail = `This top was fitted on ${String(fittedOn)} and cannot retire before.`;
      faults.push({ pointer: `${pointer}/retiredOn`, detail });
    }
    if (!patterns.has(framePattern) && framePatternNamed(String(framePattern)) === undefined) {
      const detail = `There is no frame pattern "${String(framePattern)}", built in or in this file.`;
      faults.push({ pointer: `${pointer}/framePattern`, detail });
    }
    return faults;
  });
}

function visitFaults(placed: Sets, find: Finder): Fault[] {
  const visits = (placed.get('visits') ?? []).flatMap(({ pointer, record }) => {
    const faults: Fault[] = [];
    if ((record['state'] === 'done') !== (record['doneOn'] !== null)) {
      const detail = 'A visit that is done has its day here, and no other has.';
      faults.push({ pointer: `${pointer}/doneOn`, detail });
    }
    const top = find('tops', record['topId']);
    if (top !== undefined && top['carId'] !== record['carId']) {
      faults.push({
        pointer: `${pointer}/carId`,
        detail: 'The top of this visit is on another car.',
      });
    }
    return faults;
  });
  const read = new Set<string>();
  const readings = (placed.get('readings') ?? []).flatMap(({ pointer, record }) => {
    const visit = find('visits', record['visitId']);
    const pivot = find('pivots', record['pivotId']);
    if (visit === undefined || pivot === undefined) return [];
    const faults: Fault[] = [];
    const both = JSON.stringify([record['visitId'], record['pivotId']]);
    if (read.has(both)) {
      const detail = `${String(pivot['code'])} was read twice in this visit. Keep one.`;
      faults.push({ pointer: `${pointer}/pivotId`, detail });
    }
    read.add(both);
    if (pivot['carId'] !== visit['carId']) {
      const detail = 'This pivot is part of another car than the visit.';
      faults.push({ pointer: `${pointer}/pivotId`, detail });
    }
    if (Number(record['washersPresent'] ?? 0) > Number(pivot['washersExpected'])) {
      const detail = `${String(pivot['code'])} takes ${String(pivot['washersExpected'])} washers; more cannot be present.`;
      faults.push({ pointer: `${pointer}/washersPresent`, detail });
    }
    return faults;
  });
  return [...visits, ...readings];
}
