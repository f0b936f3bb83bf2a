import type { Clock, Helper, Span } from '../../domain/care-day/care-day-shape.ts';
import { minutesAt } from '../../domain/care-day/care-day-shape.ts';
import type { Job, Post } from '../../domain/care-day/rota.ts';
import { rotaAsFarAsKept } from '../../domain/care-day/rota.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { clockTimeIn, dayIn } from '../../domain/calendar/zone.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { MayMove } from '../../domain/may-move/move-verdict.ts';
import { FREE_TO_MOVE } from '../../domain/may-move/move-verdict.ts';
import { notFound } from '../../domain/refusal.ts';
import type { CareDayRow } from '../../store/care-days/care-day-rows.ts';
import { careDayNamed } from '../../store/care-days/care-day-rows.ts';
import type { PlaceRow } from '../../store/care-days/place-rows.ts';
import { placesOn } from '../../store/care-days/place-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { mayMoveOf } from '../own/may-move.ts';

/** A care day as it was planned. */
export interface CareDayRecord extends Span {
  readonly id: string;
  readonly heldOn: Day;
  readonly place: string;
  readonly state: 'planned' | 'open' | 'called-off';
  readonly breaks: readonly Span[];
  readonly benches: number;
  readonly helpers: readonly Helper[];
  readonly handMinutes: number;
  readonly poweredMinutes: number;
  readonly stepMinutes: number;
  readonly version: number;
  /** Zone by whose clock its times are meant. */
  readonly timeZone: string;
  readonly today: Day;
  /** The last day on which members choose, move and give back times alone. */
  readonly changeUntil: Day;
}

/** How a car stands with a care day. */
export type Standing = 'asked' | 'waiting' | 'declined' | 'placed' | 'done' | 'missed';

export interface PlaceRecord {
  readonly id: string;
  readonly carId: string;
  readonly topId: string | null;
  readonly ownerId: string;
  readonly ownerName: string;
  readonly registration: string;
  readonly powered: boolean;
  readonly dueOn: Day | null;
  readonly standing: Standing;
  /** By the clock of the place; null without a time. */
  readonly start: Clock | null;
  readonly minutes: number;
  readonly waitingSince: Instant | null;
  readonly mayMove: MayMove;
  /** Put there by hand; null for whatever is free. */
  readonly bench: number | null;
  readonly helperId: string | null;
  /** The visit that is its time, where it has one. */
  readonly visitId: string | null;
  /** The visit that holds what was done, where it was recorded. */
  readonly doneVisitId: string | null;
  readonly version: number;
}

/** A care day with its cars and its rota. */
export interface CareDayWhole {
  readonly day: CareDayRecord;
  readonly places: readonly PlaceRecord[];
  readonly posts: readonly Post[];
  /** Cars whose time cannot be kept with these benches and helpers. */
  readonly unkept: readonly string[];
}

/** A care day, its cars as the database has them, and what the rules make of them. */
export interface LoadedDay extends CareDayWhole {
  readonly rows: readonly PlaceRow[];
  readonly jobs: readonly Job[];
}

/** Loads a care day of an organisation whole; refused where it has none of this id. */
export async function loadCareDay(
  sql: Sql,
  organisationId: string,
  id: string,
  now: Instant,
): Promise<LoadedDay> {
  const row = await careDayNamed(sql, organisationId, id);
  if (row === null) throw notFound('care day');
  const day = await careDayRecordOf(sql, row, now);
  const rows = await placesOn(sql, organisationId, id);
  const verdicts = await mayMoveOf(sql, organisationId, rows, now);
  const places = rows.map((one) =>
    placeRecordOf(one, day, verdicts.get(one.carId) ?? FREE_TO_MOVE),
  );
  const jobs = jobsOf(places);
  const { posts, unkept } = rotaAsFarAsKept(day, jobs);
  return { day, rows, places, jobs, posts, unkept: unkept.map((job) => job.id) };
}

/** A care day as its row says. */
export async function careDayRecordOf(
  sql: Sql,
  row: CareDayRow,
  now: Instant,
): Promise<CareDayRecord> {
  const { changeDays } = figuresFor('careDay', await ownFiguresOf(sql, row.organisationId));
  const {
    id,
    heldOn,
    timeZone,
    place,
    benches,
    handMinutes,
    poweredMinutes,
    stepMinutes,
    version,
  } = row;
  return {
    id,
    heldOn,
    place,
    state: row.state as CareDayRecord['state'],
    from: row.fromTime,
    until: row.untilTime,
    breaks: JSON.parse(row.breaks) as Span[],
    benches,
    helpers: JSON.parse(row.helpers) as Helper[],
    handMinutes,
    poweredMinutes,
    stepMinutes,
    version,
    timeZone,
    today: dayIn(timeZone, now),
    changeUntil: addDays(heldOn, -changeDays),
  };
}

/** The cars of a day that have a time, as the rota takes them. */
export function jobsOf(places: readonly PlaceRecord[]): Job[] {
  return places.flatMap(({ id, start, minutes, bench, helperId }) =>
    start === null ? [] : [{ id, start: minutesAt(start), minutes, bench, helperId }],
  );
}

function placeRecordOf(row: PlaceRow, day: CareDayRecord, mayMove: MayMove): PlaceRecord {
  const standing = standingOf(row, day);
  const timed = standing === 'placed' || standing === 'done' || standing === 'missed';
  const { dropOffAt, readyAt } = row;
  const booked = timed && dropOffAt !== null && readyAt !== null;
  const powered = flag(row.powered);
  const usual = powered ? day.poweredMinutes : day.handMinutes;
  return {
    id: row.id,
    carId: row.carId,
    topId: row.topId,
    ownerId: row.ownerId,
    ownerName: row.ownerName,
    registration: row.registration,
    powered,
    dueOn: row.dueOn,
    standing,
    start: booked ? clockTimeIn(day.timeZone, dropOffAt) : null,
    minutes: booked ? minutesBetween(dropOffAt, readyAt) : (row.minutes ?? usual),
    waitingSince: row.waitingSince,
    mayMove,
    bench: row.bench,
    helperId: row.helperId,
    visitId: standing === 'placed' ? row.visitId : null,
    doneVisitId: row.visitState === 'done' ? row.visitId : row.closedBy,
    version: row.version,
  };
}

/** What became of the visit comes first: whatever was done to it elsewhere counts here at once. */
function standingOf(row: PlaceRow, { heldOn }: CareDayRecord): Standing {
  if (row.visitState === 'done' || row.closedBy !== null) return 'done';
  const onTheDay = row.plannedOn === heldOn && row.dropOffAt !== null;
  if (row.visitState === 'booked' && onTheDay) return 'placed';
  if (row.visitState === 'missed' && onTheDay) return 'missed';
  return row.answer as Standing;
}

function minutesBetween(from: Instant, to: Instant): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / 60_000);
}
