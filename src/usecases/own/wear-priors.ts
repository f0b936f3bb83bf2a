import type { Day } from '../../domain/calendar/day.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { PivotRecord } from '../../domain/pivots/series.ts';
import type { PriorOf } from '../../domain/pivots/wear-pool.ts';
import { wearPools } from '../../domain/pivots/wear-pool.ts';
import type { Sql } from '../../store/database/sql.ts';
import { measuredCars, readPivots } from '../../store/visits/reading-rows.ts';

/** What the cars of one frame pattern tell of the wear of a car's joints. */
export type WearPriors = (framePattern: string, carId: string) => PriorOf | undefined;

/**
 * What other cars tell of wear, by frame pattern. Whatever names the day of a joint asks this, so that
 * a page, a letter and a list name the same one. Three queries for each pattern, whatever its cars.
 */
export async function wearPriors(
  sql: Sql,
  organisationId: string,
  framePatterns: Iterable<string>,
  { today, own }: { readonly today: Day; readonly own: OwnFigures },
): Promise<WearPriors> {
  const figures = figuresFor('pivots', own);
  const pools = new Map<string, ReturnType<typeof wearPools>>();
  for (const pattern of new Set(framePatterns)) {
    const cars = await measuredCars(sql, organisationId, pattern, figures.wearPoolCars);
    if (cars.length === 0) continue;
    const pivots = await readPivots(sql, organisationId, cars);
    const standing = pivots.filter(({ retiredOn }) => retiredOn === null);
    pools.set(pattern, wearPools(standing, today, figures));
  }
  return (framePattern, carId) => pools.get(framePattern)?.(carId);
}

/** The same for the joints of one car; asks for no other car where none of its own has two readings. */
export async function wearPriorOf(
  sql: Sql,
  organisationId: string,
  car: {
    readonly carId: string;
    readonly framePattern: string;
    readonly records: readonly PivotRecord[];
  },
  when: { readonly today: Day; readonly own: OwnFigures },
): Promise<PriorOf | undefined> {
  if (!car.records.some(({ readings }) => readings.length > 1)) return undefined;
  const priors = await wearPriors(sql, organisationId, [car.framePattern], when);
  return priors(car.framePattern, car.carId);
}
