import type { Fault } from '../../domain/refusal.ts';
import { FIELD_MEANINGS } from '../../domain/tables/table-fields.ts';
import type { TableRow } from '../../store/records/export-rows.ts';
import { addressHashOf } from '../context/secret.ts';
import type { StoredField } from './table-columns.ts';
import type { ReadLine, RowFault } from './table-rows.ts';
import { cellFault } from './table-rows.ts';

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

/** What a line says otherwise than the car on record; what it leaves empty it says nothing of. */
export interface Compared {
  readonly owner: readonly Difference[];
  readonly car: readonly Difference[];
  readonly faults: readonly RowFault[];
}

/**
 * Compares a line with the car of its registration that is on record. Owner and car can be filled in and
 * put right by a table. A top on record cannot, nor whose car it is: those have pages that also say
 * what follows.
 */
export function compareLine({ row, car }: ReadLine, there: TableRow): Compared {
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
  return { owner: differing(OF_OWNER), car: differing(OF_CAR), faults };
}
