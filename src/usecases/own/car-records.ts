import type { Keeping } from '../../domain/lubrication/keeping.ts';
import { notFound } from '../../domain/refusal.ts';
import type { CarRow } from '../../store/cars/car-rows.ts';
import { findCar } from '../../store/cars/car-rows.ts';
import type { Records } from '../../store/database/store.ts';
import type { Caller } from '../context/context.ts';

export interface Handbook {
  readonly foldedLimitDays: number;
  readonly foldFloorCelsius: number | null;
}

export interface CarRecord {
  readonly id: string;
  readonly ownerId: string;
  readonly registration: string;
  readonly timeZone: string;
  readonly handbook: Handbook;
  readonly keeping: {
    readonly place: Keeping['place'];
    readonly salt: Keeping['salt'];
    readonly use: Keeping['use'];
    readonly foldsPerYear: number | null;
    readonly unmovedDays: number | null;
  };
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
    handbook: { foldedLimitDays: row.foldedLimitDays, foldFloorCelsius: row.foldFloorCelsius },
    keeping: {
      place: row.place as Keeping['place'],
      salt: row.salt as Keeping['salt'],
      use: row.use as Keeping['use'],
      foldsPerYear: row.foldsPerYear,
      unmovedDays: row.unmovedDays,
    },
    make: row.make,
    model: row.model,
    year: row.year,
    colour: row.colour,
    createdAt: row.createdAt,
    version: row.version,
  };
}

/** A car of the caller's organisation; anybody else's is not found. */
export async function ownCar(records: Records, caller: Caller, id: string): Promise<CarRow> {
  const row = await findCar(records, caller.organisationId, id);
  if (row === null) throw notFound('car');
  return row;
}
