import type { Day } from '../../domain/calendar/day.ts';
import type { PivotWord } from '../../domain/calls/causes.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { ObservedLives } from '../../domain/life/washer-life.ts';
import type { WasherRecord } from '../../domain/life/washer-records.ts';
import { washersOfSides } from '../../domain/pivots/pivot-reports.ts';
import { standing } from '../../domain/pivots/series.ts';
import type { FrameRow } from '../../store/visits/frame-rows.ts';
import { framesOfCars } from '../../store/visits/frame-rows.ts';
import type { ReadPivot } from '../../store/visits/reading-rows.ts';
import { readPivots } from '../../store/visits/reading-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { othersFirst, portions } from '../context/turns.ts';
import type { FrameOfCar, OwnLives, WashersOfPivot } from './washer-histories.ts';
import { ownLives, washersOfPivot } from './washer-histories.ts';

/** One pivot that is on a car now, with the washers it has. */
export interface Joint {
  readonly pivot: ReadPivot;
  readonly washers: WashersOfPivot;
}

/** What the records say of the joints of some cars, and what the organisation knows of washers. */
export interface JointsOfCars {
  readonly frames: ReadonlyMap<string, FrameOfCar>;
  /** The pivots on each car, from the body forward; retired ones are left out. */
  readonly joints: ReadonlyMap<string, readonly Joint[]>;
  readonly lives: OwnLives;
}

/** The joints of some of an organisation's cars, with every washer life on record, of retired pivots too. */
export interface JointPortion {
  readonly joints: ReadonlyMap<string, readonly Joint[]>;
  readonly washerRecords: readonly WasherRecord[];
}

// Some ten milliseconds of reading and sorting.
const CARS_AT_ONCE = 50;

/**
 * Goes through every joint of an organisation, two queries for some cars, others having their turn. No more
 * is held at a time than these: all joints of some thousand cars are some hundred megabytes.
 */
export async function* eachJoint(sql: Sql, organisationId: string): AsyncGenerator<JointPortion> {
  const rows = await framesOfCars(sql, organisationId);
  for await (const some of portions(rows, CARS_AT_ONCE)) {
    yield await readJoints(sql, organisationId, framesIn(some));
  }
}

/** What an organisation's records say of the lives of washers, where nobody knows it already. */
export async function learnLives(
  sql: Sql,
  organisationId: string,
  own: OwnFigures,
): Promise<OwnLives> {
  const lives = new ObservedLives('exposure');
  for await (const { washerRecords } of eachJoint(sql, organisationId)) lives.add(washerRecords);
  await othersFirst();
  return ownLives(lives, figuresFor('life', own));
}

/** The joints of some cars alone, where what the organisation knows of washers is known already. */
export async function jointsOfCars(
  sql: Sql,
  organisationId: string,
  carIds: readonly string[],
  lives: OwnLives,
): Promise<JointsOfCars> {
  const frames = new Map<string, FrameOfCar>();
  const joints = new Map<string, readonly Joint[]>();
  for await (const some of portions(carIds, CARS_AT_ONCE)) {
    const own = framesIn(await framesOfCars(sql, organisationId, some));
    for (const [carId, frame] of own) frames.set(carId, frame);
    const read = await readJoints(sql, organisationId, own);
    for (const [carId, onCar] of read.joints) joints.set(carId, onCar);
  }
  return { frames, joints, lives };
}

function framesIn(rows: readonly FrameRow[]): Map<string, FrameOfCar> {
  return new Map(rows.map(({ carId, ...frame }) => [carId, frame]));
}

async function readJoints(
  sql: Sql,
  organisationId: string,
  frames: ReadonlyMap<string, FrameOfCar>,
): Promise<JointPortion> {
  const joints = new Map<string, Joint[]>();
  const washerRecords: WasherRecord[] = [];
  for (const pivot of await readPivots(sql, organisationId, [...frames.keys()])) {
    const frame = frames.get(pivot.carId);
    if (frame === undefined) continue;
    const washers = washersOfPivot(pivot, frame);
    for (const record of washers.records) washerRecords.push(record);
    if (pivot.retiredOn !== null) continue;
    const onCar = joints.get(pivot.carId);
    if (onCar === undefined) joints.set(pivot.carId, [{ pivot, washers }]);
    else onCar.push({ pivot, washers });
  }
  return { joints, washerRecords };
}

/** What speaks of damage at the joints of one car today: words that ask for more, washers gone. */
export function jointSigns(
  joints: readonly Joint[],
  today: Day,
  own: OwnFigures,
): { readonly stateWords: PivotWord[]; readonly missingWashers: number } {
  const records = joints.map(({ pivot }) => pivot.record);
  const { L, R } = washersOfSides(records, today, figuresFor('pivots', own));
  const stateWords = joints.flatMap(({ pivot: { record, oiledOn } }) => {
    const last = standing(record, today).states.at(-1);
    if (last === undefined || last.state === 'free') return [];
    // A joint found dry and oiled on that visit is dry no longer.
    if (last.state === 'dry' && oiledOn.includes(last.doneOn)) return [];
    return [{ pivot: record.code, state: last.state }];
  });
  return { stateWords, missingWashers: L.missing + R.missing };
}
