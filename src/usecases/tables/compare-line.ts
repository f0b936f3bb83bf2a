import type { Day } from '../../domain/calendar/day.ts';
import type { Fault } from '../../domain/refusal.ts';
import { FIELD_MEANINGS } from '../../domain/tables/table-fields.ts';
import type { TableRow } from '../../store/records/export-rows.ts';
import { addressHashOf } from '../context/secret.ts';
import { OILED_WITHOUT_TOP, oiledBefore } from './table-checks.ts';
import type { StoredField } from './table-columns.ts';
import type { RowFault } from './row-faults.ts';
import { cellFault } from './row-faults.ts';
import type { ReadLine } from './table-rows.ts';

const OF_OWNER = ['name', 'phone', 'postalAddress', 'postcode', 'timeZone', 'language'] as const;
const OF_CAR = [
  'make',
  'model',
  'year',
  'colour',
  'place',
  'salt',
  'use',
  'foldsPerYear',
  'foldedLimitDays',
  'foldFloorCelsius',
] as const;
const OF_TOP = [
  'fittedOn',
  'framePattern',
  'powered',
  'material',
  'window',
  'coverName',
  'coverColour',
  'makersReference',
  'windowMade',
] as const;

/** A field that a table says otherwise than the records, with what stands there. */
export interface Difference {
  readonly field: StoredField;
  readonly was: string | number | null;
  readonly becomes: string | number;
}

/** The last oiling of a top by the records, and by a table. */
export interface Oiling {
  readonly was: Day | null;
  readonly becomes: Day;
}

/** What a line says otherwise than the car on record; what it leaves empty it says nothing of. */
export interface Compared {
  readonly owner: readonly Difference[];
  readonly car: readonly Difference[];
  /** An oiling that the records do not know; none where they know of a later one. */
  readonly oiling: Oiling | null;
  /** The later oiling on record, where a line names an earlier one. */
  readonly oiledSince: Day | null;
  readonly faults: readonly RowFault[];
}

/**
 * Compares a line with the car of its registration that is on record. Owner and car can be filled in and
 * put right by a table, and an oiling after the last on record is added. A top on record cannot be changed,
 * nor whose car it is: those have pages that also say what follows.
 */
export function compareLine({ row, car, tellsOfTop }: ReadLine, there: TableRow): Compared {
  const differing = (fields: readonly StoredField[]): Difference[] =>
    fields.flatMap((field) => {
      const becomes = car[field] ?? undefined;
      if (becomes === undefined || becomes === there[field]) return [];
      return [{ field, was: there[field], becomes }];
    });
  const faults: Fault[] & RowFault[] = [];
  if (car.email !== undefined && addressHashOf(car.email) !== addressHashOf(there.email)) {
    const detail = `${there.registration} is ${there.name}’s here. If it was sold, say so on the car’s page.`;
    faults.push(cellFault(row, 'email', detail));
  }
  if (there.topId !== null) {
    for (const { field, was } of differing(OF_TOP)) {
      const title = FIELD_MEANINGS[field].title;
      const detail = `The top on record says ${was ?? 'nothing'} for ${title}. Put it right on its page.`;
      faults.push(cellFault(row, field, detail));
    }
  }
  const { lubricatedOn } = car;
  if (lubricatedOn !== undefined) {
    faults.push(...oilingFaults(row, lubricatedOn, { car, tellsOfTop, there }));
  }
  return {
    owner: differing(OF_OWNER),
    car: differing(OF_CAR),
    ...oilingOf(lubricatedOn, there.lubricatedOn),
    faults,
  };
}

function oilingFaults(
  row: number,
  lubricatedOn: Day,
  { car, tellsOfTop, there }: Pick<ReadLine, 'car' | 'tellsOfTop'> & { readonly there: TableRow },
): RowFault[] {
  if (there.fittedOn === null) {
    return tellsOfTop ? [] : [cellFault(row, 'lubricatedOn', OILED_WITHOUT_TOP)];
  }
  // A line that tells the fitting itself is held against that.
  return car.fittedOn === undefined ? oiledBefore(row, lubricatedOn, there.fittedOn) : [];
}

function oilingOf(said: Day | undefined, was: Day | null): Pick<Compared, 'oiling' | 'oiledSince'> {
  if (said === undefined || said === was) return { oiling: null, oiledSince: null };
  return was !== null && said < was
    ? { oiling: null, oiledSince: was }
    : { oiling: { was, becomes: said }, oiledSince: null };
}
