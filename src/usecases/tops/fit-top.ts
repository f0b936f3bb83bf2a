import { insertPivots, pivotsOnCar, retirePivots } from '../../store/tops/pivot-rows.ts';
import { insertTop, retireTop, topOnCar } from '../../store/tops/top-rows.ts';
import { callOffVisits, visitsAhead } from '../../store/visits/visit-rows.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import type { Records, Writing } from '../../store/database/store.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import type { CarRow } from '../../store/cars/car-rows.ts';
import { ownCar } from '../own/car-records.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { patternPivots } from './frame-patterns.ts';
import { lubricationColumns, refreshLubrication } from '../own/lubrication-record.ts';
import { heldFiguresOf } from '../figures/shop-rules.ts';
import type { TopRecord } from '../own/top-records.ts';
import { ownTop, topRecord } from '../own/top-records.ts';
import { tellOfVisit } from '../visits/visit-letters.ts';

/** What a top is made of, in the shop's own words. */
export interface TopWords {
  readonly coverName?: string | null | undefined;
  readonly coverColour?: string | null | undefined;
  readonly makersReference?: string | null | undefined;
  readonly windowMade?: string | null | undefined;
}

export interface NewTop extends TopWords {
  readonly carId: string;
  readonly fittedOn: Day;
  readonly framePattern: string;
  readonly cover: { readonly material: 'vinyl' | 'cloth' };
  readonly window: 'glass' | 'glass-bonded' | 'clear-vinyl';
  readonly powered?: boolean | undefined;
  readonly warranties?: readonly { part: string; months: number }[] | undefined;
}

/**
 * Records a fitted top. If the car has one already this is a re-cover: the old top is retired on the
 * fitted day, and pivots that the new pattern names too stay with their whole history: one that was stiff
 * or short of washers when it was read last shortens the interval of the new top too.
 */
export async function fitTop(context: Context, caller: Caller, top: NewTop): Promise<TopRecord> {
  const now = context.now();
  const id = await context.store.write((tx) => fitTopIn(tx, context, caller, top, now));
  const row = await ownTop(context.store.sql, caller, id);
  return topRecord(context.store.sql, row, now);
}

/** Fits a top inside a transaction that does more than this; the id of the new top. */
export async function fitTopIn(
  { records, sql }: Writing,
  context: Context,
  caller: Caller,
  top: NewTop,
  now: Instant,
): Promise<string> {
  const id = newId();
  // Holds the car: of two tops fitted at once, the second must see the first.
  const own = await heldFiguresOf(sql, caller.organisationId, top.carId);
  const car = await carOf(records, caller, top.carId);
  if (top.fittedOn > dayIn(car.timeZone, now)) {
    throw invalid('#/fittedOn', 'This day is still to come. Record the top once it is fitted.');
  }
  const pivots = await patternPivots(records, caller, top.framePattern);
  if (pivots === null) {
    throw invalid(
      '#/framePattern',
      'There is no such frame pattern. See GET /v1/frame-patterns, or draw your own there.',
    );
  }
  const ended = await retireTopOn(records, top, now);
  await carryPivots({ records, sql }, caller, top, pivots);
  const lubrication = lubricationColumns(
    car,
    { fittedOn: top.fittedOn, lubricatedOn: null, stiffOrMissing: false },
    own,
  );
  await insertTop(records, {
    id,
    organisationId: caller.organisationId,
    carId: car.id,
    fittedOn: top.fittedOn,
    framePattern: top.framePattern,
    material: top.cover.material,
    window: top.window,
    powered: top.powered ?? pivots.some(({ kind }) => kind === 'ram'),
    warranties: JSON.stringify(top.warranties ?? []),
    coverName: top.coverName ?? null,
    coverColour: top.coverColour ?? null,
    makersReference: top.makersReference ?? null,
    windowMade: top.windowMade ?? null,
    ...lubrication,
    createdAt: now,
  });
  // What ails the frame ails it under the new cover too.
  await refreshLubrication(sql, car, { ...top, id, organisationId: caller.organisationId });
  await reconsiderCars(sql, [car.id], now, () => true);
  for (const visitId of ended) await tellOfVisit(context, sql, visitId, now);
  return id;
}

async function carOf(records: Records, caller: Caller, carId: string): Promise<CarRow> {
  return ownCar(records, caller, carId).catch((fault: unknown) => {
    if (!(fault instanceof Refused)) throw fault;
    throw invalid('#/carId', 'There is no such car here. Add the car first.');
  });
}

/** Retires the top that is on the car; the visits booked for it end, and their ids are returned. */
async function retireTopOn(records: Records, top: NewTop, now: Instant): Promise<string[]> {
  const old = await topOnCar(records, top.carId);
  if (old === null) return [];
  if (old.fittedOn >= top.fittedOn) {
    throw invalid(
      '#/fittedOn',
      `The top that is on this car was fitted on ${old.fittedOn}. A new one must be fitted after it.`,
    );
  }
  await retireTop(records, old, top.fittedOn);
  const ended = await visitsAhead(records, old.id);
  await callOffVisits(
    records,
    ended.map(({ id }) => id),
    now,
  );
  return ended.map(({ id }) => id);
}

async function carryPivots(
  { records, sql }: Writing,
  caller: Caller,
  top: NewTop,
  pivots: readonly PatternPivot[],
): Promise<void> {
  const { carId, fittedOn } = top;
  const known = await pivotsOnCar(records, carId);
  const drawn = new Map(pivots.map((pivot, place) => [pivot.code, { pivot, place }]));
  const gone = known.filter((pivot) => !drawn.has(pivot.code)).map((pivot) => pivot.id);
  await retirePivots(records, gone, fittedOn);
  const kept = new Set(known.map((pivot) => pivot.code));
  const fresh = [...drawn.values()].filter(({ pivot }) => !kept.has(pivot.code));
  await insertPivots(
    sql,
    fresh.map(({ pivot, place }) => ({
      id: newId(),
      organisationId: caller.organisationId,
      carId,
      code: pivot.code,
      side: pivot.side,
      kind: pivot.kind,
      washersExpected: pivot.washersExpected,
      place,
      since: fittedOn,
    })),
  );
}
