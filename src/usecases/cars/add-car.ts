import { holdCars } from '../../store/database/car-lock.ts';
import { insertCar } from '../../store/cars/car-rows.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Keeping, KeepingQuestion } from '../../domain/lubrication/keeping.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import { LOOK_NOW } from '../../domain/round/next-look.ts';
import type { Records, Writing } from '../../store/database/store.ts';
import type { CarRecord } from '../own/car-records.ts';
import type { CarRow } from '../../store/cars/car-rows.ts';
import type { Given } from '../own/car-records.ts';
import { carRecordOf, columnsOf, HANDBOOK, KEEPING } from '../own/car-records.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { organisationFigures } from '../figures/shop-rules.ts';
import type { OwnerRow } from '../../store/owners/owner-rows.ts';
import { holdOwner } from '../../store/owners/owner-rows.ts';
import { ownOwner } from '../own/owner-records.ts';
import type { Among } from '../own/known-car.ts';
import { refuseKnownCar } from '../own/known-car.ts';

/** What a car is, in the shop's own words. */
export interface CarWords {
  readonly make?: string | null | undefined;
  readonly model?: string | null | undefined;
  readonly year?: number | null | undefined;
  readonly colour?: string | null | undefined;
}

/** How a car is kept, as far as somebody says it. */
export type KeepingInput = {
  readonly [Question in KeepingQuestion]?: Keeping[Question] | undefined;
} & Given<'foldsPerYear' | 'unmovedDays'>;

export interface NewCar extends CarWords {
  readonly ownerId: string;
  readonly registration: string;
  readonly timeZone?: string | undefined;
  readonly handbook?: Given<(typeof HANDBOOK)[number]>;
  readonly keeping?: KeepingInput;
  /** It is another car than the one in care with the same registration. */
  readonly another?: boolean | undefined;
}

/** Adds a car to an owner; its zone is the owner's where none is given. */
export async function addCar(context: Context, caller: Caller, car: NewCar): Promise<CarRecord> {
  const now = context.now();
  return carRecordOf(await context.store.write((tx) => addCarIn(tx, caller, car, now)));
}

/**
 * Adds a car inside a transaction that does more than this; refused where its registration is known among
 * the cars of its owner, or of all.
 */
export async function addCarIn(
  { records, sql }: Writing,
  caller: Caller,
  car: NewCar,
  now: Instant,
  among: Among = { ownerId: car.ownerId },
): Promise<CarRow> {
  const owner = await newOwnerOf(records, caller, car.ownerId);
  if (car.another !== true) {
    // Of two who add the same car at once, the second waits here and finds it.
    await holdCars(sql, [], [owner.id]);
    await holdOwner(sql, owner.id);
    await refuseKnownCar(sql, caller.organisationId, car.registration, among);
  }
  const { foldedLimitDays } = await organisationFigures(sql, caller.organisationId, 'folding');
  return insertCar(records, {
    id: newId(),
    organisationId: caller.organisationId,
    ownerId: owner.id,
    registration: car.registration,
    timeZone: car.timeZone ?? owner.timeZone,
    ...columnsOf(HANDBOOK, {
      ...car.handbook,
      foldedLimitDays: car.handbook?.foldedLimitDays ?? foldedLimitDays,
    }),
    ...columnsOf(KEEPING, car.keeping),
    make: car.make ?? null,
    model: car.model ?? null,
    year: car.year ?? null,
    colour: car.colour ?? null,
    lookAt: LOOK_NOW,
    createdAt: now,
  });
}

/** The owner that a car shall have; refused by field where the organisation has none of this id. */
export async function newOwnerOf(
  records: Records,
  caller: Caller,
  ownerId: string,
): Promise<OwnerRow> {
  return ownOwner(records, caller, ownerId).catch((fault: unknown) => {
    if (!(fault instanceof Refused)) throw fault;
    throw invalid('#/ownerId', 'There is no such owner here. Add the owner first.');
  });
}
