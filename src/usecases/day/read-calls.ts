import type { StayingRecord } from '../own/read-staying.ts';
import { readStaying } from '../own/read-staying.ts';
import { callOrder } from '../../domain/calls/call-order.ts';
import type { CallCandidate, CallListItem } from '../../domain/calls/call-order.ts';
import { usualRepairHours } from '../../domain/calls/damage.ts';
import type { CallOutcome, EarlierCall } from '../../domain/calls/earlier-calls.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays, daysBetween } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { msOf } from '../../domain/calendar/instant.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { foldedClock } from '../../domain/folding/clock.ts';
import type { CallableCarRow, FoldedEntryRow } from '../../store/cars/calls-rows.ts';
import { callableCars, callsSince, logsOfFoldedCars } from '../../store/cars/calls-rows.ts';
import { flag } from '../../store/database/sql.ts';
import type { Caller, Context } from '../context/context.ts';
import { diaryCalendar } from '../bench/diary-calendar.ts';
import { lengthsOfVisits } from '../bench/diary-visits.ts';
import { grouped } from '../context/grouped.ts';
import type { JointFacts } from '../tops/joint-facts.ts';
import { jointFacts, judgedJoints } from '../tops/joint-facts.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { chanceOfLoss } from '../tops/washer-histories.ts';

export interface CallRecord {
  readonly carId: string;
  readonly topId: string;
  readonly registration: string;
  readonly ownerId: string;
  readonly ownerName: string;
  readonly phone: string | null;
  /** The top must not be moved: this car comes first, and no sum of savings decides it. */
  readonly mustStay: boolean;
  /** Null for a car that must stay. */
  readonly score: number | null;
  readonly chance: number;
  readonly afterCalls: number;
  readonly repairHours: number;
  readonly minutes: number;
  readonly dueOn: Day;
  readonly lastCall: { readonly on: Day; readonly outcome: CallOutcome } | null;
  readonly causes: { readonly kind: string; readonly words: string; readonly chance: number }[];
  readonly reason: string;
}

export interface CallListRecord {
  readonly items: CallRecord[];
  /** Cars with any sign of damage, shown or not. */
  readonly inAll: number;
  readonly because: string[];
}

// The rule looks eight weeks ahead; calls older than a year have long lost their weight.
const AHEAD_DAYS = 56;
const CALL_MEMORY_DAYS = 366;

/**
 * Whom to ring first: chance of damage in the next eight weeks × cost of the repair ÷ minutes of the
 * visit that prevents it. Left out are cars with a visit booked, owners who refused calls, and cars
 * with no sign of damage. A fixed number of queries, however many cars there are.
 */
export async function readCalls(
  context: Context,
  caller: Caller,
  { limit }: { readonly limit: number },
): Promise<CallListRecord> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const now = context.now();
  const own = await ownFiguresOf(sql, organisationId);
  const calendar = await diaryCalendar(sql, organisationId, now);
  const { today } = calendar;
  const values = figuresFor('calls', own);
  const facts = await jointFacts(sql, organisationId, own);
  const cars = await callableCars(sql, organisationId, today);
  const logs = grouped(await logsOfFoldedCars(sql, organisationId, now), byCar);
  const since = addDays(today, -CALL_MEMORY_DAYS);
  const calls = grouped(await callsSince(sql, organisationId, since), byCar);
  const lengthOf = await lengthsOfVisits(sql, calendar);
  const candidates = cars.map((car): CallCandidate => {
    const joints = judgedJoints(facts.joints.get(car.carId) ?? [], today, own);
    const { verdict, stateWords, missingWashers } = joints;
    return {
      carId: car.carId,
      ownerId: car.ownerId,
      refusedCalls: flag(car.refusesCalls),
      verdict,
      stateWords,
      missingWashers,
      overdueDays: daysBetween(car.dueOn, today),
      ...foldedState(car, logs.get(car.carId) ?? [], now, own),
      washerLifeChance: lossAhead(facts, car.carId, today),
      repairCost: usualRepairHours(stateWords, values),
      minutes: lengthOf('lubrication', car).minutes,
      lastCalls: (calls.get(car.carId) ?? []).map(callOf),
    };
  });
  const list = callOrder(candidates, today, values).filter(({ chance }) => chance > 0);
  const byId = new Map(cars.map((car) => [car.carId, car]));
  const given = new Map(candidates.map((candidate) => [candidate.carId, candidate]));
  const staying = (await readStaying(sql, organisationId, now)).filter(
    ({ repairOn, refusesCalls }) => repairOn === null && !refusesCalls,
  );
  const first = staying.map((car) => stayingCall(car, calls.get(car.carId) ?? [], values));
  const stays = new Set(staying.map(({ carId }) => carId));
  const others = list.filter(({ carId }) => !stays.has(carId));
  const items = others.flatMap((item) => {
    const car = byId.get(item.carId);
    const candidate = given.get(item.carId);
    return car === undefined || candidate === undefined ? [] : [callRecord(item, car, candidate)];
  });
  const all = [...first, ...items];
  return { items: all.slice(0, limit), inAll: all.length, because: becauseOf(values) };
}

function byCar({ carId }: { readonly carId: string }): string {
  return carId;
}

function callRecord(
  item: CallListItem,
  car: CallableCarRow,
  { repairCost, minutes, lastCalls }: CallCandidate,
): CallRecord {
  const { carId, topId, registration, ownerId, ownerName, phone, dueOn } = car;
  const { score, chance, afterCalls, causes, reason } = item;
  return {
    carId,
    topId,
    registration,
    ownerId,
    ownerName,
    phone,
    mustStay: false,
    score,
    chance,
    afterCalls,
    repairHours: repairCost,
    minutes,
    dueOn,
    lastCall: lastCalls.at(-1) ?? null,
    causes: causes.map((cause) => ({ ...cause })),
    reason,
  };
}

/** Nothing is weighed here: somebody must be told, and the repair be booked. */
function stayingCall(
  car: StayingRecord,
  earlier: readonly { calledOn: Day; outcome: CallOutcome }[],
  values: ReturnType<typeof figuresFor<'calls'>>,
): CallRecord {
  const { carId, topId, registration, ownerId, ownerName, phone, dueOn, mayMove } = car;
  const why = [...new Set(mayMove.reasons.map(({ words }) => words))].join('; ');
  const hours = mayMove.reasons.some(({ sign }) => sign === 'sheared')
    ? values.frameHours
    : values.repairHours;
  return {
    carId,
    topId,
    registration,
    ownerId,
    ownerName,
    phone,
    mustStay: true,
    score: null,
    chance: 1,
    afterCalls: 1,
    repairHours: hours,
    minutes: hours * 60,
    dueOn,
    lastCall: earlier.map(callOf).at(-1) ?? null,
    causes: [{ kind: 'must-stay', words: why, chance: 1 }],
    reason: `the top must not be moved (${why}): say so and agree on a day for the repair`,
  };
}

function callOf(row: { calledOn: Day; outcome: CallOutcome }): EarlierCall {
  return { on: row.calledOn, outcome: row.outcome };
}

/** Days over the limit, a day begun counted whole, and whether it was damp when it was folded. */
function foldedState(
  car: CallableCarRow,
  log: readonly FoldedEntryRow[],
  now: Instant,
  own: OwnFigures,
): { foldedOverDays: number; damp: boolean } {
  const entries = log.map(({ position, at, damp }) => ({ position, at, damp: flag(damp) }));
  const { timeZone: zone, foldedLimitDays: limitDays } = car;
  const clock = foldedClock({ zone, limitDays, entries, at: now }, figuresFor('folding', own));
  const { stretch, position } = clock;
  if (stretch === null || position !== 'folded') return { foldedOverDays: 0, damp: false };
  const over = (msOf(now) - msOf(stretch.overAt)) / 86_400_000;
  return {
    foldedOverDays: Math.max(0, Math.ceil(over)),
    damp: entries.some(({ at, damp }) => damp && at >= stretch.startedAt),
  };
}

function lossAhead({ joints, frames, lives }: JointFacts, carId: string, today: Day): number {
  const frame = frames.get(carId);
  if (frame === undefined) return 0;
  const inPlace = (joints.get(carId) ?? []).flatMap(({ washers }) => washers.inPlaceSince);
  return chanceOfLoss(inPlace, frame, lives, today, addDays(today, AHEAD_DAYS)) ?? 0;
}

function becauseOf(values: ReturnType<typeof figuresFor<'calls'>>): string[] {
  return [
    'shop rule: what each sign adds to the chance of damage within eight weeks',
    `shop rule: a repair takes ${values.repairHours} h, ${values.frameHours} h once a joint has sheared`,
    `shop rule: a call made lowers the rank, half as much after ${values.callHalfLife} days`,
  ];
}
