import type { StayingRecord } from '../own/read-staying.ts';
import { readStaying } from '../own/read-staying.ts';
import { callOrder } from '../../domain/calls/call-order.ts';
import type { CallCandidate, CallListItem } from '../../domain/calls/call-order.ts';
import type { Outcomes } from '../../domain/calls/calibration.ts';
import { calibrationOf, outcomesOf } from '../../domain/calls/calibration.ts';
import { costOf } from '../../domain/calls/cures.ts';
import type { CallOutcome, EarlierCall } from '../../domain/calls/earlier-calls.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays, daysBetween } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { msOf } from '../../domain/calendar/instant.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { notLookedAtDays } from '../../domain/lubrication/look-again.ts';
import { foldedClock } from '../../domain/folding/clock.ts';
import type { CallableCarRow, FoldedEntryRow } from '../../store/cars/calls-rows.ts';
import {
  callableCars,
  callsSince,
  openFaults,
  logsOfFoldedCars,
} from '../../store/cars/calls-rows.ts';
import { flag } from '../../store/database/sql.ts';
import type { Caller, Context } from '../context/context.ts';
import { diaryCalendar } from '../bench/diary-calendar.ts';
import { lengthsOfVisits } from '../bench/diary-visits.ts';
import { grouped } from '../context/grouped.ts';
import { portions } from '../context/turns.ts';
import type { JointFacts } from '../tops/joint-facts.ts';
import { jointFacts, jointSigns } from '../tops/joint-facts.ts';
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
  /** Bench hours that a minute of the deed saves; null for a car that must stay. */
  readonly score: number | null;
  readonly chance: number;
  readonly lossHours: number;
  readonly savesHours: number;
  readonly afterCalls: number;
  /** The one thing to do, and the minutes of the shop that it takes. */
  readonly deed: string;
  readonly minutes: number;
  readonly dueOn: Day;
  readonly lastCall: { readonly on: Day; readonly outcome: CallOutcome } | null;
  readonly causes: {
    readonly kind: string;
    readonly damage: string;
    readonly words: string;
    readonly chance: number;
    readonly costHours: number;
  }[];
  readonly reason: string;
}

export interface CallListRecord {
  readonly items: CallRecord[];
  /** Cars with any sign of damage, shown or not. */
  readonly inAll: number;
  readonly because: string[];
  /** How the organisation's own outcomes bear on the chances. */
  readonly outcomes: Outcomes[];
}

// The rule looks eight weeks ahead; calls older than a year have long lost their weight.
const AHEAD_DAYS = 56;
const CALL_MEMORY_DAYS = 366;
const CARS_AT_ONCE = 500;

interface CallsAsked {
  readonly limit: number;
  readonly savesOnly?: boolean;
  /** The joints of the organisation, where whoever asks has loaded them. */
  readonly facts?: JointFacts;
}

/**
 * Whom to ring first, and for what: the cars whose tops must not be moved, then those for which one deed
 * saves most hours a minute. Owners who refused calls and cars with nothing to gain are left out; what a
 * booked visit will cure is not asked for again. With `savesOnly` the first of these are left to whoever
 * lists them anyway. Others have their turn in between.
 */
export async function readCalls(
  context: Context,
  caller: Caller,
  { limit, savesOnly = false, facts: known }: CallsAsked,
): Promise<CallListRecord> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const now = context.now();
  const own = await ownFiguresOf(sql, organisationId);
  const calendar = await diaryCalendar(sql, organisationId, now);
  const { today } = calendar;
  const values = figuresFor('calls', own);
  const lookFigures = figuresFor('look', own);
  const facts = known ?? (await jointFacts(sql, organisationId, own));
  const cars = await callableCars(sql, organisationId, today);
  const logs = grouped(await logsOfFoldedCars(sql, organisationId, now), byCar);
  const faults = grouped(await openFaults(sql, organisationId), byCar);
  const since = addDays(today, -CALL_MEMORY_DAYS);
  const calls = grouped(await callsSince(sql, organisationId, since), byCar);
  const lengthOf = await lengthsOfVisits(sql, calendar);
  const outcomes = outcomesOf(pivotsRead(facts), values);
  const staying = (await readStaying(sql, organisationId, now)).filter(
    ({ refusesCalls }) => !refusesCalls,
  );
  const stays = new Set(staying.map(({ carId }) => carId));
  const candidateOf = (car: CallableCarRow): CallCandidate[] => {
    if (stays.has(car.carId)) return [];
    const joints = facts.joints.get(car.carId) ?? [];
    const { stateWords, missingWashers } = jointSigns(joints, today, own);
    return [
      {
        carId: car.carId,
        ownerId: car.ownerId,
        refusedCalls: flag(car.refusesCalls),
        stateWords,
        missingWashers,
        overdueDays: daysBetween(car.dueOn, today),
        ...foldedState(car, logs.get(car.carId) ?? [], now, own),
        washerLifeChance: lossAhead(facts, car.carId, today),
        notLookedAtDays: notLookedAtDays(
          { since: car.lookAfterOn, oilDueOn: car.dueOn, today },
          lookFigures,
        ),
        faults: (faults.get(car.carId) ?? []).map(({ fault }) => fault),
        oilMinutes: lengthOf('lubrication', car).minutes,
        visitBooked: car.booked > 0,
        lastCalls: (calls.get(car.carId) ?? []).map(callOf),
      },
    ];
  };
  const candidates: CallCandidate[] = [];
  for await (const some of portions(cars, CARS_AT_ONCE)) {
    candidates.push(...some.flatMap(candidateOf));
  }
  const list = callOrder(candidates, today, values, calibrationOf(outcomes));
  const byId = new Map(cars.map((car) => [car.carId, car]));
  const given = new Map(candidates.map((candidate) => [candidate.carId, candidate]));
  const items = list.flatMap((item) => {
    const car = byId.get(item.carId);
    const candidate = given.get(item.carId);
    return car === undefined || candidate === undefined ? [] : [callRecord(item, car, candidate)];
  });
  const first = staying
    .filter(({ repairOn }) => repairOn === null)
    .map((car) => stayingCall(car, calls.get(car.carId) ?? [], values));
  const all = savesOnly ? items : [...first, ...items];
  return {
    items: all.slice(0, limit),
    inAll: all.length,
    because: becauseOf(values),
    outcomes,
  };
}

/** Every joint on a car now, with the days on which it was oiled. */
function pivotsRead({ joints }: JointFacts) {
  return [...joints.values()].flatMap((onCar) =>
    onCar.map(({ pivot: { record, oiledOn } }) => ({ ...record, oiledOn })),
  );
}

function byCar({ carId }: { readonly carId: string }): string {
  return carId;
}

function callRecord(
  item: CallListItem,
  car: CallableCarRow,
  { lastCalls }: CallCandidate,
): CallRecord {
  const { carId, topId, registration, ownerId, ownerName, phone, dueOn } = car;
  const { score, chance, lossHours, savesHours, afterCalls, deed, causes, reason } = item;
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
    lossHours,
    savesHours,
    afterCalls,
    deed: deed.words,
    minutes: deed.minutes,
    dueOn,
    lastCall: lastCalls.at(-1) ?? null,
    causes: causes.map(({ kind, damage, words, chance: likely, costHours }) => ({
      kind,
      damage,
      words,
      chance: likely,
      costHours,
    })),
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
    lossHours: costOf('frame', values),
    savesHours: costOf('frame', values),
    afterCalls: 1,
    deed: 'ring: say that it must stay as it is, and agree on a day for the repair',
    minutes: values.repairMinutes,
    dueOn,
    lastCall: earlier.map(callOf).at(-1) ?? null,
    causes: [
      {
        kind: 'must-stay',
        damage: 'frame',
        words: why,
        chance: 1,
        costHours: costOf('frame', values),
      },
    ],
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
    damp: entries.some(
      ({ position: noted, at, damp }) => damp && noted === 'folded' && at >= stretch.startedAt,
    ),
  };
}

function lossAhead({ joints, frames, lives }: JointFacts, carId: string, today: Day): number {
  const frame = frames.get(carId);
  if (frame === undefined) return 0;
  const inPlace = (joints.get(carId) ?? []).flatMap(({ washers }) => washers.inPlace);
  return chanceOfLoss(inPlace, frame, lives, today, addDays(today, AHEAD_DAYS)) ?? 0;
}

function becauseOf(values: ReturnType<typeof figuresFor<'calls'>>): string[] {
  return [
    'shop rule: the chance that each cause does its damage within eight weeks, its cost and its cure',
    `shop rule: a new cover costs ${values.coverHours} h and parts worth ${values.coverPartsHours} h, a joint ${values.repairHours} h, a frame ${values.frameHours} h`,
    `shop rule: a call made lowers the rank, half as much after ${values.callHalfLife} days`,
  ];
}
