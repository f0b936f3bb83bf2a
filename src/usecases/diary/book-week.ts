import type { VisitKind } from '../../domain/bench/minutes.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import type { BookingRow } from '../../store/diary/booking-rows.ts';
import {
  addBooking,
  bookingNamed,
  moveBookingTo,
  standingBooking,
} from '../../store/diary/booking-rows.ts';
import { lockDiary, topForDiary } from '../../store/diary/diary-rows.ts';
import { lockOfferedCars, takeOffer } from '../../store/diary/offer-rows.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { diaryCalendar } from '../bench/diary-calendar.ts';
import type { WeekAsked } from '../bench/diary-days.ts';
import { freeDay } from '../bench/free-day.ts';
import { writeVisitOffered } from '../bench/offer-letters.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import { refuseWithoutOwner } from '../own/owner-records.ts';
import { tellOfVisit } from '../visits/visit-letters.ts';
import type { VisitRecord } from '../own/visit-records.ts';
import { visitRecord } from '../own/visit-records.ts';

export interface BookingAsked extends WeekAsked {
  readonly kind?: VisitKind | undefined;
}

/** Who books: an organisation by its key, or an owner by a link that belongs to one. */
export type Booker = Pick<Caller, 'organisationId'>;

/**
 * Books a visit for a top in a week, on its open day with the most room, or on a day. Room is looked
 * up and taken in one transaction that holds the diary, so of two who want the last place one is
 * refused. Letters that the booking makes untrue are cancelled with it, and the owner is told of it; so
 * nothing is booked for a car whose owner was erased.
 */
export async function bookWeek(
  context: Context,
  { organisationId }: Booker,
  topId: string,
  asked: BookingAsked,
): Promise<VisitRecord> {
  const now = context.now();
  const id = newId();
  const kind = asked.kind ?? 'lubrication';
  return context.store.writeSql(async (sql) => {
    await lockDiary(sql, organisationId);
    const top = await topForDiary(sql, organisationId, topId);
    if (top === null) throw notFound('top');
    if (top.retiredOn !== null) {
      const detail = `This top was retired on ${top.retiredOn}. Book for the top that is on the car.`;
      throw invalid('id', detail);
    }
    await refuseWithoutOwner(sql, top.carId);
    const calendar = await diaryCalendar(sql, organisationId, now);
    const standing = await standingBooking(sql, topId, kind, calendar.today);
    if (standing !== null) {
      const detail = `A ${kind} visit is booked for ${standing.plannedOn} already. Move it with PUT /v1/visits/${standing.id}/booking.`;
      throw new Refused({ kind: 'conflict', detail });
    }
    const { on, dropOffAt, readyAt } = await freeDay(sql, calendar, { top, kind, asked });
    const { carId } = top;
    const whose = { id, organisationId, topId, carId, kind };
    const booking = { ...whose, plannedOn: on, dropOffAt, readyAt, createdAt: now };
    await lockOfferedCars(sql, organisationId, carId);
    await addBooking(sql, booking);
    await reconsiderCars(sql, [carId], now);
    await tellOfVisit(context, sql, id, now);
    if (await takeOffer(sql, organisationId, booking, now)) {
      await writeVisitOffered(context, sql, organisationId, now);
    }
    return justBooked(booking);
  });
}

/** Moves a booked visit to another week or day with room; the room that it leaves is free again. */
export async function moveBooking(
  context: Context,
  caller: Caller,
  visitId: string,
  asked: WeekAsked,
  version: number | '*' | null,
): Promise<VisitRecord> {
  const now = context.now();
  const { organisationId } = caller;
  await context.store.writeSql(async (sql) => {
    await lockDiary(sql, organisationId);
    const visit = await bookingNamed(sql, organisationId, visitId);
    const top = visit === null ? null : await topForDiary(sql, organisationId, visit.topId);
    if (visit === null || top === null) throw notFound('visit');
    requireVersion(version, visit.version);
    const { kind, state } = visit;
    if (state !== 'booked') {
      throw new Refused({ kind: 'conflict', detail: `This visit is ${state}, not booked.` });
    }
    const calendar = await diaryCalendar(sql, organisationId, now);
    const times = await freeDay(sql, calendar, {
      top,
      kind,
      asked,
      minutes: visit.minutes,
      movedId: visitId,
    });
    requireHeld(await moveBookingTo(sql, visit, times));
    await reconsiderCars(sql, [top.carId], now);
    await tellOfVisit(context, sql, visitId, now);
  });
  return visitRecord(context.store.records, caller, visitId);
}

/** A booking as it stands right after it was made. */
function justBooked(booking: BookingRow): VisitRecord {
  const { id, topId, carId, kind, plannedOn, dropOffAt, readyAt } = booking;
  return {
    id,
    topId,
    carId,
    kind,
    state: 'booked',
    plannedOn,
    dropOffAt,
    readyAt,
    doneOn: null,
    minutes: null,
    swayMm: null,
    diagonalsMm: null,
    breakawayN: null,
    notes: null,
    readings: [],
    findings: [],
    version: 1,
  };
}
