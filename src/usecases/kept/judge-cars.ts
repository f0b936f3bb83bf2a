import { calibrationOf } from '../../domain/calls/calibration.ts';
import type { CallCandidate, CallListItem } from '../../domain/calls/call-order.ts';
import { callOrder } from '../../domain/calls/call-order.ts';
import type { EarlierCall } from '../../domain/calls/earlier-calls.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays, daysBetween } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { msOf, toInstant } from '../../domain/calendar/instant.ts';
import { dayIn, instantAt } from '../../domain/calendar/zone.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import type { FoldedClock } from '../../domain/folding/clock.ts';
import { foldedClock } from '../../domain/folding/clock.ts';
import { notLookedAtDays } from '../../domain/lubrication/look-again.ts';
import { mayMove } from '../../domain/may-move/may-move.ts';
import type { CallableCarRow, FoldedEntryRow, OpenFaultRow } from '../../store/cars/calls-rows.ts';
import {
  callableCars,
  callsSince,
  entriesToCome,
  foldedOf,
  logsOf,
  openFaults,
} from '../../store/cars/calls-rows.ts';
import type { KeptCar, OutdatedRow } from '../../store/cars/kept-rows.ts';
import { moveFactsOf } from '../../store/cars/move-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import { grouped } from '../context/grouped.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';
import type { JointsOfCars } from '../tops/joint-facts.ts';
import { jointsOfCars, jointSigns } from '../tops/joint-facts.ts';
import { chanceOfLoss } from '../tops/washer-histories.ts';
import type { Learned } from './learned.ts';

/** A line of the call list as far as it follows from the car's records. */
export interface KeptCall extends Pick<
  CallListItem,
  'score' | 'chance' | 'lossHours' | 'savesHours' | 'afterCalls' | 'reason'
> {
  /** The one thing to do, and the minutes of the shop that it takes. */
  readonly deed: string;
  readonly minutes: number;
  readonly lastCall: EarlierCall | null;
  readonly causes: {
    readonly kind: string;
    readonly damage: string;
    readonly words: string;
    readonly chance: number;
    readonly costHours: number;
  }[];
}

// The rule looks eight weeks ahead; calls older than a year have long lost their weight.
const AHEAD_DAYS = 56;
const CALL_MEMORY_DAYS = 366;
const DAY_MS = 86_400_000;
const FOREVER = '9999-12-31T00:00:00.000Z';

/**
 * What the day's page and the call list have to know of some cars, and until when it is true if nothing
 * is recorded. Some queries, however many cars there are.
 */
export async function judgeCars(
  sql: Sql,
  organisationId: string,
  outdated: readonly OutdatedRow[],
  { learned, now }: { readonly learned: Learned; readonly now: Instant },
): Promise<KeptCar[]> {
  const carIds = outdated.map(({ carId }) => carId);
  const own = ownFiguresFrom(learned.ownRules);
  const today = dayIn(learned.timeZone, now);
  const facts = await jointsOfCars(sql, organisationId, carIds, learned.lives);
  const cars = new Map((await callableCars(sql, carIds, today)).map((car) => [car.carId, car]));
  const faults = grouped(await openFaults(sql, carIds), byCar);
  const since = addDays(today, -CALL_MEMORY_DAYS);
  const calls = grouped(await callsSince(sql, carIds, since), byCar);
  const clocks = await foldedClocks(sql, carIds, now, own);
  const coming = new Map((await entriesToCome(sql, carIds, now)).map((one) => [one.carId, one.at]));
  const moves = await moveFactsOf(sql, carIds);
  const moveFigures = { pivots: figuresFor('pivots', own), frame: figuresFor('frame', own) };
  const values = figuresFor('calls', own);
  const calibration = calibrationOf(learned.outcomes);
  const midnight = instantAt(learned.timeZone, addDays(today, 1), '00:00');

  return outdated.map(({ carId, changes }): KeptCar => {
    const car = cars.get(carId);
    const folded = clocks.get(carId);
    const found = moves.get(carId);
    const zone = car?.timeZone ?? learned.timeZone;
    const move = found === undefined ? null : mayMove(found, dayIn(zone, now), moveFigures);
    const mustStay = move?.verdict === 'leave';
    const lastCalls = (calls.get(carId) ?? []).map(({ calledOn, outcome }) => ({
      on: calledOn,
      outcome,
    }));
    const candidate =
      car === undefined || mustStay
        ? null
        : candidateOf(car, {
            facts,
            folded,
            faults: faults.get(carId) ?? [],
            lastCalls,
            learned,
            own,
            today,
            now,
          });
    const [item] = candidate === null ? [] : callOrder([candidate], today, values, calibration);
    const changesDaily =
      item !== undefined ||
      found !== undefined ||
      lastCalls.length > 0 ||
      (car?.lookAfterOn ?? null) !== null ||
      readTomorrow(facts, carId, today);
    const until = [
      coming.get(carId) ?? FOREVER,
      ...(folded === undefined ? [] : [nextFoldedDay(folded, now)]),
      ...(changesDaily
        ? [midnight, instantAt(zone, addDays(dayIn(zone, now), 1), '00:00')]
        : car === undefined
          ? []
          : [quietUntil(car, facts, learned, today)]),
    ];
    return {
      carId,
      changes,
      goodUntil: until.reduce((first, one) => (one < first ? one : first)),
      callScore: item?.score ?? null,
      callSaves: item?.savesHours ?? null,
      call: item === undefined ? null : JSON.stringify(keptCall(item, lastCalls)),
      staysSince: mustStay ? (move.reasons.map(({ on }) => on).sort()[0] ?? today) : null,
      nearingAt: folded?.stretch?.nearingAt ?? null,
    };
  });
}

function byCar({ carId }: { readonly carId: string }): string {
  return carId;
}

interface CarFacts {
  readonly facts: JointsOfCars;
  readonly folded: FoldedNow | undefined;
  readonly faults: readonly OpenFaultRow[];
  readonly lastCalls: EarlierCall[];
  readonly learned: Learned;
  readonly own: OwnFigures;
  readonly today: Day;
  readonly now: Instant;
}

function candidateOf(
  car: CallableCarRow,
  { facts, folded, faults, lastCalls, learned, own, today, now }: CarFacts,
): CallCandidate {
  const { stateWords, missingWashers } = jointSigns(facts.joints.get(car.carId) ?? [], today, own);
  return {
    carId: car.carId,
    ownerId: car.ownerId,
    refusedCalls: flag(car.refusesCalls),
    stateWords,
    missingWashers,
    overdueDays: daysBetween(car.dueOn, today),
    neverOiled: car.lubricatedOn === null,
    foldedOverDays: folded === undefined ? 0 : daysOver(folded, now),
    damp: folded?.damp ?? false,
    washerLifeChance: lossAhead(facts, car.carId, today),
    notLookedAtDays: notLookedAtDays(
      { since: car.lookAfterOn, oilDueOn: car.dueOn, today },
      figuresFor('look', own),
    ),
    faults: [...new Set(faults.map(({ fault }) => fault))],
    agreed: faults
      .filter(({ outcome }) => outcome === 'accepted')
      .map(({ fault, pivot }) => ({ fault, pivot })),
    oilMinutes: learned.lengthOf('lubrication', car).minutes,
    visitBooked: car.bookedUntil !== null,
    lastCalls,
  };
}

function keptCall(item: CallListItem, lastCalls: readonly EarlierCall[]): KeptCall {
  const { score, chance, lossHours, savesHours, afterCalls, deed, causes, reason } = item;
  return {
    score,
    chance,
    lossHours,
    savesHours,
    afterCalls,
    deed: deed.words,
    minutes: deed.minutes,
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

interface FoldedNow {
  readonly stretch: FoldedClock['stretch'];
  /** It was damp when it was folded. */
  readonly damp: boolean;
}

/** The clocks of those cars that stand folded. */
async function foldedClocks(
  sql: Sql,
  carIds: readonly string[],
  now: Instant,
  own: OwnFigures,
): Promise<Map<string, FoldedNow>> {
  const cars = await foldedOf(sql, carIds, now);
  if (cars.length === 0) return new Map();
  const ids = cars.map(({ carId }) => carId);
  const logs = grouped(await logsOf(sql, ids, now), byCar);
  const figures = figuresFor('folding', own);
  return new Map(
    cars.map(({ carId, timeZone: zone, foldedLimitDays: limitDays }) => {
      const entries = (logs.get(carId) ?? []).map(plainEntry);
      const { stretch } = foldedClock({ zone, limitDays, entries, at: now }, figures);
      const damp =
        stretch !== null &&
        entries.some(
          ({ position, at, damp: isDamp }) =>
            isDamp && position === 'folded' && at >= stretch.startedAt,
        );
      return [carId, { stretch, damp }];
    }),
  );
}

function plainEntry({ position, at, damp }: FoldedEntryRow) {
  return { position, at, damp: flag(damp) };
}

/** Days over the limit, of 24 hours. */
function daysOver({ stretch }: FoldedNow, now: Instant): number {
  if (stretch === null) return 0;
  return Math.max(0, (msOf(now) - msOf(stretch.overAt)) / DAY_MS);
}

/** When one day more will be over the limit. */
function nextFoldedDay(folded: FoldedNow, now: Instant): Instant {
  if (folded.stretch === null) return FOREVER;
  return toInstant(msOf(folded.stretch.overAt) + Math.ceil(daysOver(folded, now)) * DAY_MS + 1);
}

function lossAhead({ joints, frames, lives }: JointsOfCars, carId: string, today: Day): number {
  const frame = frames.get(carId);
  if (frame === undefined) return 0;
  const inPlace = (joints.get(carId) ?? []).flatMap(({ washers }) => washers.inPlace);
  return chanceOfLoss(inPlace, frame, lives, today, addDays(today, AHEAD_DAYS)) ?? 0;
}

/** Whether anything was read on a day that has not begun here. */
function readTomorrow({ joints }: JointsOfCars, carId: string, today: Day): boolean {
  return (joints.get(carId) ?? []).some(({ pivot: { record } }) =>
    record.states.some(({ doneOn }) => doneOn > today),
  );
}

/** A car of which nothing speaks is asked about again when its oil is due or its booking is over. */
function quietUntil(
  { dueOn, bookedUntil, carId }: CallableCarRow,
  facts: JointsOfCars,
  { timeZone }: Learned,
  today: Day,
): Instant {
  const ageing = lossAhead(facts, carId, today) > 0;
  const days = [
    ...(dueOn > today ? [dueOn] : []),
    ...(bookedUntil === null ? [] : [bookedUntil]),
    ...(ageing || (dueOn <= today && bookedUntil === null) ? [today] : []),
  ];
  return days.length === 0
    ? FOREVER
    : days
        .map((day) => instantAt(timeZone, addDays(day, 1), '00:00'))
        .reduce((first, one) => (one < first ? one : first));
}
