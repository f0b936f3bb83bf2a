import { freeStarts, proposeTimes } from '../../domain/care-day/care-times.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import { lookAgain } from '../../store/cars/look-rows.ts';
import { changeCareDayRow } from '../../store/care-days/care-day-rows.ts';
import {
  carsToAsk,
  changePlace,
  insertPlaces,
  removePlace,
} from '../../store/care-days/place-rows.ts';
import type { Writing } from '../../store/database/store.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import { loadOwnStyle } from '../organisations/own-style.ts';
import { mayMoveOf } from '../own/may-move.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { tellOwners } from '../round/plan-round.ts';
import type { CareDayWhole, PlaceRecord } from './care-day-record.ts';
import { loadCareDay } from './care-day-record.ts';
import type { HeldDay, Wanted } from './care-day-visits.ts';
import { giveBack, giveTime, holdCareDay } from './care-day-visits.ts';

/** A car that could be asked to a care day. */
export interface CarToAsk {
  readonly carId: string;
  readonly registration: string;
  readonly ownerName: string;
  readonly dueOn: Day;
  /** Why it cannot be asked; null where it can. */
  readonly not: 'must-stay' | 'booked' | null;
}

/** A care day whole, with the cars of the club that are not on its list, for who keeps it. */
export interface CareDayDesk extends CareDayWhole {
  readonly toAsk: readonly CarToAsk[];
  /** The times that are free for each car on the list that may come, by the id of its place. */
  readonly free: ReadonlyMap<string, readonly number[]>;
}

/** The rota of a care day, for whoever helps on it. */
export async function readCareDayRota(
  context: Context,
  caller: Caller,
  id: string,
): Promise<CareDayWhole> {
  requireRight(caller, 'care-day');
  return loadCareDay(context.store.sql, caller.organisationId, id, context.now());
}

/** The same with all that can be changed. */
export async function readCareDayDesk(
  context: Context,
  caller: Caller,
  id: string,
): Promise<CareDayDesk> {
  requireRight(caller, 'keep-owners');
  const { sql } = context.store;
  const { organisationId } = caller;
  const now = context.now();
  const loaded = await loadCareDay(sql, organisationId, id, now);
  const others = await carsToAsk(sql, organisationId, id);
  const verdicts = await mayMoveOf(sql, organisationId, others, now);
  const toAsk = others.map((car): CarToAsk => {
    const { carId, registration, ownerName, dueOn, booked } = car;
    const stays = verdicts.get(carId)?.verdict === 'leave';
    return {
      carId,
      registration,
      ownerName,
      dueOn,
      not: stays ? 'must-stay' : booked > 0 ? 'booked' : null,
    };
  });
  const movable = loaded.places.filter(({ mayMove }) => mayMove.verdict !== 'leave');
  const free = new Map(
    movable.map(({ id: placeId, minutes }) => [
      placeId,
      freeStarts(loaded.day, loaded.jobs, { id: placeId, minutes }),
    ]),
  );
  return { ...loaded, toAsk, free };
}

/**
 * Puts cars on the list of a care day and asks their owners to choose a time. The letter is the
 * round's: it shares the letter of the day and heeds refusals. A car that must not be moved is not
 * asked.
 */
export async function askToCareDay(
  context: Context,
  caller: Caller,
  id: string,
  carIds: readonly string[],
): Promise<number> {
  requireRight(caller, 'keep-owners');
  if (carIds.length === 0) throw invalid('#/cars', 'Tick the cars whose owners shall be asked.');
  const now = context.now();
  const { organisationId } = caller;
  return context.store.write(async (tx) => {
    const held = await holdCareDay(tx, organisationId, id, now);
    refuseGone(held);
    const others = await carsToAsk(tx.sql, organisationId, id);
    const verdicts = await mayMoveOf(tx.sql, organisationId, others, now);
    const wanted = others.filter(
      ({ carId, booked }) =>
        carIds.includes(carId) && booked === 0 && verdicts.get(carId)?.verdict !== 'leave',
    );
    const added = await insertPlaces(
      tx.sql,
      wanted.map(({ carId }) => ({
        id: newId(),
        organisationId,
        careDayId: id,
        carId,
        createdAt: now,
      })),
    );
    if (held.day.state === 'planned') {
      requireHeld(await changeCareDayRow(tx.records, held.day, { state: 'open' }));
    }
    await askNow(context, tx, held, wanted);
    return added;
  });
}

/** A car on the list of a care day, and which state of it was seen. */
export interface PlaceNamed {
  readonly dayId: string;
  readonly placeId: string;
  readonly version: number | '*' | null;
}

/** Gives a car a time by hand, or another time, bench or helper. */
export async function placeByHand(
  context: Context,
  caller: Caller,
  named: PlaceNamed,
  wanted: Wanted,
): Promise<void> {
  requireRight(caller, 'keep-owners');
  const now = context.now();
  await context.store.write(async (tx) => {
    const { held, place } = await holdPlace(tx, caller, named, now);
    await giveTime(context, tx, held, place, wanted);
  });
}

/** Takes a car off a care day: its time is given back, and it leaves the list. */
export async function takeOffCareDay(
  context: Context,
  caller: Caller,
  named: PlaceNamed,
): Promise<void> {
  requireRight(caller, 'keep-owners');
  const { dayId, placeId } = named;
  const now = context.now();
  await context.store.write(async (tx) => {
    const { held, place } = await holdPlace(tx, caller, named, now);
    if (place.standing === 'done') {
      const detail = 'This car was worked on already. Take the visit back on its page first.';
      throw new Refused({ kind: 'conflict', detail });
    }
    await giveBack(context, tx, held, place, {});
    const after = await holdCareDay(tx, caller.organisationId, dayId, now);
    requireHeld(await removePlace(tx.sql, placeIn(after, placeId)));
    await reconsiderCars(tx.sql, [place.carId], now);
    await tellWhoWaits(context, tx, caller.organisationId, dayId);
  });
}

/** The times that would be given to those who have none: those who wait, in the order of the line. */
export function proposalOf({ day, places }: CareDayWhole, jobs: HeldDay['jobs']) {
  const waiting = places
    .filter(({ standing, mayMove }) => standing === 'waiting' && mayMove.verdict !== 'leave')
    .toSorted((a, b) => ((a.waitingSince ?? '') < (b.waitingSince ?? '') ? -1 : 1));
  return proposeTimes(day, jobs, waiting);
}

/** Gives all who wait a time, as far as there is room. Gives back how many got one. */
export async function placeWhoWait(
  context: Context,
  caller: Caller,
  dayId: string,
): Promise<number> {
  requireRight(caller, 'keep-owners');
  const now = context.now();
  return context.store.write(async (tx) => {
    let held = await holdCareDay(tx, caller.organisationId, dayId, now);
    refuseGone(held);
    const proposal = proposalOf(held, held.jobs);
    for (const [placeId, start] of proposal) {
      await giveTime(context, tx, held, placeIn(held, placeId), { start });
      held = await holdCareDay(tx, caller.organisationId, dayId, now);
    }
    return proposal.size;
  });
}

/**
 * Asks the first in line anew where a time has come free that is long enough, as many as there are such
 * times. Call it in the transaction that gave a time back. Whoever chooses first has it.
 */
export async function tellWhoWaits(
  context: Context,
  tx: Writing,
  organisationId: string,
  dayId: string,
): Promise<void> {
  const held = await holdCareDay(tx, organisationId, dayId, context.now());
  if (held.day.state !== 'open' || held.day.today > held.day.changeUntil) return;
  const lucky = [...proposalOf(held, held.jobs).keys()];
  const asked: PlaceRecord[] = [];
  for (const placeId of lucky) {
    const row = held.rows.find(({ id }) => id === placeId);
    if (row === undefined) continue;
    const again = { answer: 'asked', waitingSince: null, asked: row.asked + 1 };
    requireHeld(await changePlace(tx.sql, row, again));
    asked.push(placeIn(held, placeId));
  }
  await askNow(context, tx, held, asked);
}

/** Holds the round for the owners of these cars at once: they are asked to choose a time. */
export async function askNow(
  context: Context,
  { sql }: Writing,
  { organisationId, now }: HeldDay,
  cars: readonly { readonly carId: string; readonly ownerId: string }[],
): Promise<void> {
  if (cars.length === 0) return;
  const carIds = cars.map(({ carId }) => carId).toSorted();
  await lookAgain(sql, carIds);
  const ownerIds = [...new Set(cars.map(({ ownerId }) => ownerId))].toSorted();
  await tellOwners(context, sql, ownerIds, now, await loadOwnStyle(sql, organisationId));
}

/** Holds a care day for a car of its list, which must stand as it was seen. */
async function holdPlace(
  tx: Writing,
  { organisationId }: Caller,
  { dayId, placeId, version }: PlaceNamed,
  now: Instant,
): Promise<{ held: HeldDay; place: PlaceRecord }> {
  const held = await holdCareDay(tx, organisationId, dayId, now);
  const place = placeIn(held, placeId);
  requireVersion(version, place.version);
  return { held, place };
}

function refuseGone({ day }: HeldDay): void {
  if (day.state === 'called-off') {
    throw new Refused({ kind: 'conflict', detail: 'This care day is called off.' });
  }
  if (day.heldOn < day.today) {
    throw new Refused({ kind: 'conflict', detail: 'This care day is over.' });
  }
}

function placeIn({ places }: CareDayWhole, id: string): PlaceRecord {
  const place = places.find((one) => one.id === id);
  if (place === undefined) throw notFound('car on this care day');
  return place;
}
