import type { Keeping } from '../../domain/lubrication/keeping.ts';
import { notFound } from '../../domain/refusal.ts';
import type { CarRow } from '../../store/cars/car-rows.ts';
import { findCar } from '../../store/cars/car-rows.ts';
import type { Records } from '../../store/database/store.ts';
import type { Caller } from '../context/context.ts';

/** What a car's handbook says and how the car is kept: columns of the car, and fields of its record. */
export const HANDBOOK = ['foldedLimitDays', 'foldFloorCelsius'] as const;
export const KEEPING = ['place', 'salt', 'use', 'foldsPerYear', 'unmovedDays'] as const;

type Handbook = Pick<CarRow, (typeof HANDBOOK)[number]>;
type Kept = Pick<CarRow, (typeof KEEPING)[number]> & Pick<Keeping, 'place' | 'salt' | 'use'>;

export interface CarRecord {
  readonly id: string;
  readonly ownerId: string;
  readonly registration: string;
  readonly timeZone: string;
  readonly handbook: Handbook;
  readonly keeping: Kept;
  readonly make: string | null;
  readonly model: string | null;
  readonly year: number | null;
  readonly colour: string | null;
  readonly createdAt: string;
  readonly version: number;
}

export function carRecordOf(row: CarRow): CarRecord {
  return {
    id: row.id,
    ownerId: row.ownerId,
    registration: row.registration,
    timeZone: row.timeZone,
    handbook: columnsOf(HANDBOOK, row),
    keeping: columnsOf(KEEPING, row) as Kept,
    make: row.make,
    model: row.model,
    year: row.year,
    colour: row.colour,
    createdAt: row.createdAt,
    version: row.version,
  };
}

/** Columns of a car as they are given; not all need be. */
export type Given<K extends keyof CarRow> = { readonly [C in K]?: CarRow[C] | undefined };

/** Some columns of a row: as they are given, else as they were, else null. */
export function columnsOf<K extends keyof CarRow>(
  columns: readonly K[],
  given: Given<K> | undefined,
  before?: CarRow,
): Pick<CarRow, K> {
  const values = columns.map((column) => [
    column,
    given?.[column] === undefined ? (before?.[column] ?? null) : given[column],
  ]);
  return Object.fromEntries(values) as Pick<CarRow, K>;
}

/** A car of the caller's organisation; anybody else's is not found. */
export async function ownCar(records: Records, caller: Caller, id: string): Promise<CarRow> {
  const row = await findCar(records, caller.organisationId, id);
  if (row === null) throw notFound('car');
  return row;
}
