import type { Day } from '../../domain/calendar/day.ts';
import type { PivotWord } from '../../domain/calls/causes.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
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

/** All that the records say of an organisation's joints. */
export interface JointFacts extends JointsOfCars {
  /** Every washer life on record, those of retired pivots too. */
  readonly washerRecords: readonly WasherRecord[];
}

// Some ten milliseconds of reading and sorting.
const CARS_AT_ONCE = 50;

/** Loads every joint of an organisation, two queries for some hundred cars, others having their turn. */
export async function jointFacts(
  sql: Sql,
  organisationId: string,
  own: OwnFigures,
): Promise<JointFacts> {
  const rows = await framesOfCars(sql, organisationId);
  const { washerRecords, ...read } = await readJoints(sql, organisationId, rows);
  await othersFirst();
  return { ...read, washerRecords, lives: ownLives(washerRecords, figuresFor('life', own)) };
}

/** The joints of some cars alone, where what the organisation knows of washers is known already. */
export async function jointsOfCars(
  sql: Sql,
  organisationId: string,
  carIds: readonly string[],
  lives: OwnLives,
): Promise<JointsOfCars> {
  const rows: FrameRow[] = [];
  for await (const some of portions(carIds, CARS_AT_ONCE)) {
    rows.push(...(await framesOfCars(sql, organisationId, some)));
  }
  const { frames, joints } = await readJoints(sql, organisationId, rows);
  return { frames, joints, lives };
}

async function readJoints(sql: Sql, organisationId: string, rows: readonly FrameRow[]) {
  const frames = new Map(rows.map(({ carId, ...frame }) => [carId, frame]));
  const joints = new Map<string, Joint[]>();
  const washerRecords: WasherRecord[] = [];
  for await (const cars of portions([...frames.keys()], CARS_AT_ONCE)) {
    for (const pivot of await readPivots(sql, organisationId, cars)) {
      const frame = frames.get(pivot.carId);
      if (frame === undefined) continue;
      const washers = washersOfPivot(pivot, frame);
      for (const record of washers.records) washerRecords.push(record);
      if (pivot.retiredOn !== null) continue;
      const onCar = joints.get(pivot.carId);
      if (onCar === undefined) joints.set(pivot.carId, [{ pivot, washers }]);
      else onCar.push({ pivot, washers });
    }
  }
  return { frames, joints, washerRecords };
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
