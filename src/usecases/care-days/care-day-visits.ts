import { clockAt } from '../../domain/care-day/care-day-shape.ts';
import { rotaOf } from '../../domain/care-day/rota.ts';
import { freeStarts } from '../../domain/care-day/care-times.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addMinutes } from '../../domain/calendar/instant.ts';
import { instantAt } from '../../domain/calendar/zone.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import type { PlaceChange, PlaceRow } from '../../store/care-days/place-rows.ts';
import { changePlace, lockCarsOnDay } from '../../store/care-days/place-rows.ts';
import type { Writing } from '../../store/database/store.ts';
import { addBooking, moveBookingTo, standingBooking } from '../../store/diary/booking-rows.ts';
import { lockDiary } from '../../store/diary/diary-rows.ts';
import { takeOffer } from '../../store/diary/offer-rows.ts';
import { callOffVisits } from '../../store/visits/visit-rows.ts';
import { writeVisitOffered } from '../bench/offer-letters.ts';
import type { Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { requireHeld } from '../context/version.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { tellOfVisit } from '../visits/visit-letters.ts';
import type { LoadedDay, PlaceRecord } from './care-day-record.ts';
import { loadCareDay } from './care-day-record.ts';

/** A care day that is held: nobody else takes or gives back a time on it until the transaction ends. */
export interface HeldDay extends LoadedDay {
  readonly organisationId: string;
  readonly now: Instant;
}

/** Holds a care day with its cars and loads it; refused where the organisation has none of this id. */
export async function holdCareDay(
  { sql }: Pick<Writing, 'sql'>,
  organisationId: string,
  id: string,
  now: Instant,
): Promise<HeldDay> {
  await lockDiary(sql, organisationId);
  await lockCarsOnDay(sql, organisationId, id);
  return { ...(await loadCareDay(sql, organisationId, id, now)), organisationId, now };
}

/** A time that is wanted for a car, with what is said of it by hand. */
export interface Wanted {
  /** In minutes from midnight. */
  readonly start: number;
  readonly minutes?: number | null | undefined;
  readonly bench?: number | null | undefined;
  readonly helperId?: string | null | undefined;
}

/**
 * Gives a car a time on a held day, or another time: its visit is booked or moved and its owner told.
 * Refused where no bench or nobody is free then, and for a top that must not be moved.
 */
export async function giveTime(
  context: Context,
  tx: Writing,
  held: HeldDay,
  place: PlaceRecord,
  wanted: Wanted,
): Promise<void> {
  const { day, now } = held;
  const row = rowOf(held, place);
  const minutes = wanted.minutes ?? place.minutes;
  refuseTaken(held, place, { ...wanted, minutes });
  const dropOffAt = instantAt(day.timeZone, day.heldOn, clockAt(wanted.start));
  const times = { on: day.heldOn, dropOffAt, readyAt: addMinutes(dropOffAt, minutes) };
  const byHand = {
    bench: wanted.bench ?? null,
    helperId: wanted.helperId ?? null,
    ...(wanted.minutes == null ? {} : { minutes: wanted.minutes }),
  };
  if (place.standing === 'placed' && row.visitId !== null) {
    const { visitId: id, visitVersion } = row;
    const booked = { id, version: visitVersion ?? 0 };
    requireHeld(await changePlace(tx.sql, row, byHand));
    if (times.dropOffAt === row.dropOffAt && times.readyAt === row.readyAt) return;
    requireHeld(await moveBookingTo(tx.sql, booked, times));
    await reconsiderCars(tx.sql, [place.carId], now);
    await tellOfVisit(context, tx.sql, id, now);
    return;
  }
  const visitId = newId();
  requireHeld(
    await changePlace(tx.sql, row, { ...byHand, answer: 'asked', waitingSince: null, visitId }),
  );
  await bookTime(context, tx, held, place, { id: visitId, ...times });
}

async function bookTime(
  context: Context,
  { sql }: Writing,
  { organisationId, now }: HeldDay,
  { topId, carId, registration }: PlaceRecord,
  { id, on, dropOffAt, readyAt }: BookedTime,
): Promise<void> {
  if (topId === null) {
    throw invalid('#/start', `Note the top that is on ${registration} first.`);
  }
  const kind = 'lubrication';
  const other = await standingBooking(sql, topId, kind, now.slice(0, 10));
  if (other !== null) {
    throw new Refused({
      kind: 'conflict',
      detail: `${registration} is booked for ${other.plannedOn} already. Call that off first.`,
    });
  }
  const whose = { id, organisationId, topId, carId, kind } as const;
  const booking = { ...whose, plannedOn: on, dropOffAt, readyAt, createdAt: now };
  await addBooking(sql, booking);
  await reconsiderCars(sql, [carId], now);
  await tellOfVisit(context, sql, id, now);
  if (await takeOffer(sql, organisationId, booking, now)) {
    await writeVisitOffered(context, sql, organisationId, now);
  }
}

interface BookedTime {
  readonly id: string;
  readonly on: Day;
  readonly dropOffAt: Instant;
  readonly readyAt: Instant;
}

/**
 * Notes what a car's owner answered or is to be asked: a time is given back, its visit called off and its
 * owner told; a letter that still waits to ask is cancelled.
 */
export async function giveBack(
  context: Context,
  tx: Writing,
  held: HeldDay,
  place: PlaceRecord,
  answer: Partial<PlaceChange>,
): Promise<void> {
  const row = rowOf(held, place);
  requireHeld(await changePlace(tx.sql, row, { bench: null, helperId: null, ...answer }));
  const visitId = place.standing === 'placed' ? row.visitId : null;
  if (visitId !== null) await callOffVisits(tx.records, [visitId], null);
  await reconsiderCars(tx.sql, [place.carId], held.now);
  if (visitId !== null) await tellOfVisit(context, tx.sql, visitId, held.now);
}

/** The times that are free for a car, its own one among them where it has one. */
export function timesFor({ day, jobs }: LoadedDay, place: PlaceRecord): number[] {
  const own = { id: place.id, minutes: place.minutes };
  return freeStarts(day, jobs, own);
}

function refuseTaken(
  held: HeldDay,
  place: PlaceRecord,
  { start, minutes, bench = null, helperId = null }: Wanted & { readonly minutes: number },
): void {
  const { day, jobs } = held;
  if (day.state === 'called-off') {
    throw new Refused({ kind: 'conflict', detail: 'This care day is called off.' });
  }
  if (place.mayMove.verdict === 'leave') {
    throw new Refused({
      kind: 'conflict',
      detail: `The top of ${place.registration} must not be moved before it is repaired, so the car is not asked to come.`,
    });
  }
  const others = jobs.filter(({ id }) => id !== place.id);
  const job = { id: place.id, start, minutes, bench, helperId };
  // What could not be kept before is no reason to refuse a car that is not part of it.
  const kept = others.filter(({ id }) => !held.unkept.includes(id));
  if (rotaOf(day, [...kept, job]) !== null) return;
  const wish = { bench, helperId };
  const free = freeStarts(day, kept, { id: place.id, minutes }, wish).map(clockAt);
  const helper = day.helpers.find(({ id }) => id === helperId);
  const withWhom = [
    ...(bench === null ? [] : [` at bench ${bench}`]),
    ...(helper === undefined ? [] : [` with ${helper.name}`]),
  ].join('');
  throw invalid(
    '#/start',
    free.length > 0
      ? `${clockAt(start)} cannot be had${withWhom}. Free are: ${free.join(', ')}.`
      : withWhom === ''
        ? 'No time is free that is long enough. More helpers, another bench or a longer day would make room.'
        : `No time is free${withWhom}. Leave the choice of bench and helper open, or choose another.`,
  );
}

function rowOf({ rows }: HeldDay, { id }: PlaceRecord): PlaceRow {
  const row = rows.find((one) => one.id === id);
  if (row === undefined) throw new Error('a place of another day');
  return row;
}
