import type { Helper, Span } from '../../domain/care-day/care-day-shape.ts';
import { minutesAt, stretchesOf } from '../../domain/care-day/care-day-shape.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import {
  careDaysFrom,
  changeCareDayRow,
  insertCareDay,
} from '../../store/care-days/care-day-rows.ts';
import { changePlace } from '../../store/care-days/place-rows.ts';
import type { Writing } from '../../store/database/store.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import type { CareDayRecord } from './care-day-record.ts';
import { careDayRecordOf } from './care-day-record.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { tellOfVisit } from '../visits/visit-letters.ts';
import { askNow } from './care-day-list.ts';
import type { HeldDay } from './care-day-visits.ts';
import { giveBack, giveTime, holdCareDay } from './care-day-visits.ts';

/** What is said of a care day; helpers are known again by their name. */
export interface CareDayInput extends Span {
  readonly heldOn: Day;
  readonly place: string;
  readonly breaks: readonly Span[];
  readonly benches: number;
  readonly helpers: readonly {
    readonly name: string;
    readonly from?: string;
    readonly until?: string;
  }[];
  readonly handMinutes: number;
  readonly poweredMinutes: number;
  readonly stepMinutes: number;
}

// Days gone by whose results somebody still wants to read.
const DAYS_BACK = 400;

/** The care days of the caller's club, those of the last year too, the soonest first. */
export async function listCareDays(context: Context, caller: Caller): Promise<CareDayRecord[]> {
  requireRight(caller, 'care-day');
  const { sql } = context.store;
  const now = context.now();
  const { timeZone } = await showOrganisation(context, caller);
  const from = dayIn(timeZone, new Date(Date.parse(now) - DAYS_BACK * 86_400_000).toISOString());
  const rows = await careDaysFrom(sql, caller.organisationId, from);
  return Promise.all(rows.map((row) => careDayRecordOf(sql, row, now)));
}

/** What a new care day begins with: the minutes and steps of the club's own figures. */
export async function newCareDayFigures(context: Context, caller: Caller) {
  const own = await ownFiguresOf(context.store.sql, caller.organisationId);
  const { handMinutes, poweredMinutes, stepMinutes } = figuresFor('careDay', own);
  return { handMinutes, poweredMinutes, stepMinutes };
}

/** Plans a care day. Nobody is asked to it yet. Gives back its id. */
export async function planCareDay(
  context: Context,
  caller: Caller,
  input: CareDayInput,
): Promise<string> {
  requireRight(caller, 'keep-owners');
  const { timeZone } = await showOrganisation(context, caller);
  const now = context.now();
  if (input.heldOn < dayIn(timeZone, now)) {
    throw invalid('#/heldOn', 'That day is gone by. Give today or a day to come.');
  }
  refuseShape(input);
  const id = newId();
  const { organisationId } = caller;
  const whose = { id, organisationId, state: 'planned', createdAt: now };
  await context.store.write(({ records }) =>
    insertCareDay(records, { ...whose, ...columnsOf(input, []) }),
  );
  return id;
}

/**
 * Puts a care day right. Cars that have a time keep it, also where a helper or a bench falls away: the
 * rota then names those that nobody can take. Where the day is put off, they come at the same time of
 * the new day, and their owners are told; refused where that cannot be kept. Who was asked and has not
 * answered is asked anew for the new day, and what waits to ask is written anew.
 */
export async function changeCareDay(
  context: Context,
  caller: Caller,
  id: string,
  input: CareDayInput,
  version: number | '*' | null,
): Promise<void> {
  requireRight(caller, 'keep-owners');
  refuseShape(input);
  const now = context.now();
  const { organisationId } = caller;
  await context.store.write(async (tx) => {
    const before = await holdCareDay(tx, organisationId, id, now);
    requireVersion(version, before.day.version);
    if (input.heldOn !== before.day.heldOn && input.heldOn < before.day.today) {
      throw invalid('#/heldOn', 'That day is gone by. Give today or a day to come.');
    }
    const columns = columnsOf(input, before.day.helpers);
    requireHeld(await changeCareDayRow(tx.records, before.day, columns));
    const held = await holdCareDay(tx, organisationId, id, now);
    await tellOfChange(context, tx, held, before);
  });
}

/** Tells members what a changed care day means for them: those who have a time, and those who were asked. */
async function tellOfChange(
  context: Context,
  tx: Writing,
  held: HeldDay,
  before: HeldDay,
): Promise<void> {
  const isOther = (field: 'heldOn' | 'place' | 'from' | 'until') =>
    held.day[field] !== before.day[field];
  const moved = { ...held, jobs: before.jobs };
  for (const place of before.places) {
    if (place.standing !== 'placed' || place.start === null) continue;
    const { start, bench, helperId } = place;
    if (isOther('heldOn')) {
      await giveTime(context, tx, moved, place, { start: minutesAt(start), bench, helperId });
    } else if (isOther('place') && place.visitId !== null) {
      await tellOfVisit(context, tx.sql, place.visitId, held.now);
    }
  }
  if (!isOther('heldOn') && !isOther('place') && !isOther('from') && !isOther('until')) return;
  // By how it stood before: a time on the former day is none on this one.
  const asked = before.places.filter(({ standing }) => standing === 'asked');
  for (const place of asked) {
    const row = held.rows.find(({ id }) => id === place.id);
    // Who was told of another day is asked anew; of another place or other hours the page tells.
    if (isOther('heldOn') && row !== undefined) {
      requireHeld(await changePlace(tx.sql, row, { asked: row.asked + 1 }));
    }
  }
  const carIds = asked.map(({ carId }) => carId).toSorted();
  await reconsiderCars(tx.sql, carIds, held.now, ({ kind }) => kind === 'care-day-asked');
  await askNow(context, tx, held, asked);
}

/** Calls a care day off: every time on it falls away, and whoever had one is told. */
export async function callOffCareDay(
  context: Context,
  caller: Caller,
  id: string,
  version: number | '*' | null,
): Promise<void> {
  requireRight(caller, 'keep-owners');
  const now = context.now();
  await context.store.write(async (tx) => {
    const held = await holdCareDay(tx, caller.organisationId, id, now);
    requireVersion(version, held.day.version);
    if (held.day.state === 'called-off') {
      throw new Refused({ kind: 'conflict', detail: 'This care day is called off already.' });
    }
    requireHeld(await changeCareDayRow(tx.records, held.day, { state: 'called-off' }));
    for (const place of held.places) {
      if (place.standing === 'placed') await giveBack(context, tx, held, place, {});
    }
    const carIds = held.places.map(({ carId }) => carId).toSorted();
    await reconsiderCars(tx.sql, carIds, now);
  });
}

/** Refuses a day on which nothing could be done, field by field. */
function refuseShape(input: CareDayInput): void {
  if (input.from >= input.until) throw invalid('#/until', 'The day ends before it begins.');
  for (const pause of input.breaks) {
    if (pause.from >= pause.until) throw invalid('#/breaks', 'A pause ends before it begins.');
  }
  const stretches = stretchesOf({ ...input, helpers: [] });
  if (!stretches.some(([from, until]) => until - from >= input.handMinutes)) {
    throw invalid('#/breaks', 'Between the pauses no time is left that is long enough for a car.');
  }
  if (input.helpers.length === 0) throw invalid('#/helpers', 'Name at least one who helps.');
  const names = input.helpers.map(({ name }) => name.toLowerCase());
  const twice = input.helpers.find(({ name }, i) => names.indexOf(name.toLowerCase()) !== i);
  if (twice !== undefined) {
    throw invalid('#/helpers', `${twice.name} stands there twice. Tell two of one name apart.`);
  }
  for (const { name, from = input.from, until = input.until } of input.helpers) {
    if (from >= until) throw invalid('#/helpers', `The hours of ${name} end before they begin.`);
  }
}

/** The columns of a day; a helper who was there before keeps the id, so that what was said stays. */
function columnsOf(input: CareDayInput, before: readonly Helper[]) {
  const { heldOn, place, benches, handMinutes, poweredMinutes, stepMinutes } = input;
  const idOf = (name: string) =>
    before.find((one) => one.name.toLowerCase() === name.toLowerCase())?.id ?? newId();
  const helpers: Helper[] = input.helpers.map(
    ({ name, from = input.from, until = input.until }) => ({
      id: idOf(name),
      name,
      from,
      until,
    }),
  );
  return {
    heldOn,
    place,
    fromTime: input.from,
    untilTime: input.until,
    breaks: JSON.stringify(input.breaks),
    benches,
    helpers: JSON.stringify(helpers),
    handMinutes,
    poweredMinutes,
    stepMinutes,
  };
}
