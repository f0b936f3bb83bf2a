import { carsOfOrganisation } from '../../store/cars/car-rows.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import type { ForecastItem } from '../../domain/round/forecast.ts';
import { forecastFor } from '../../domain/round/forecast.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import { whatIsSeen } from '../../store/sharing/sight.ts';
import type { Caller, Context } from '../context/context.ts';
import { grouped } from '../context/grouped.ts';
import { othersFirst, portions } from '../context/turns.ts';

const OWNERS_AT_ONCE = 25;

/**
 * The letters that would be written from today until a day if nothing else happened, by day: those that
 * the caller may see.
 */
export async function forecast(
  context: Context,
  caller: Caller,
  range: { readonly from: Day; readonly to: Day },
): Promise<ForecastItem[]> {
  const { sql } = context.store;
  const now = context.now();
  const rows = await carsOfOrganisation(sql, caller.organisationId);
  const owners = [...new Set(rows.map((row) => row.ownerId))];
  const byDay = new Map<Day, ForecastItem[]>();
  const carsOf = grouped(rows, ({ ownerId }) => ownerId);
  const isSeen = await whatIsSeen(sql, caller.organisationId);
  for await (const some of portions(owners, OWNERS_AT_ONCE)) {
    const ids = some.flatMap((ownerId) => (carsOf.get(ownerId) ?? []).map(({ id }) => id));
    const { cars, told } = await loadCarFacts(sql, ids, now, false);
    for (const own of byOwner(cars)) {
      // A year of one owner is some milliseconds of work.
      await othersFirst();
      const toldOwner = told.filter(({ ownerId }) => ownerId === own[0]?.owner.id);
      // Sorted as they come: some ten thousand at the end would be one long piece of work.
      for (const item of forecastFor(own, toldOwner, now, range.to)) {
        if (item.on < range.from || !isSeen(item)) continue;
        const sameDay = byDay.get(item.on);
        if (sameDay === undefined) byDay.set(item.on, [item]);
        else sameDay.push(item);
      }
    }
  }
  return [...byDay.keys()].sort().flatMap((day) => byDay.get(day) ?? []);
}

function byOwner(cars: readonly CarFacts[]): CarFacts[][] {
  const groups = new Map<string, CarFacts[]>();
  for (const car of cars) groups.set(car.owner.id, [...(groups.get(car.owner.id) ?? []), car]);
  return [...groups.values()];
}
