import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { bookedForOil, stiffOrMissing } from '../../store/tops/lubrication-rows.ts';
import type { Context } from '../context/context.ts';
import { organisationFigures, ownFiguresOf } from '../figures/shop-rules.ts';
import { lubricationColumns } from '../own/lubrication-record.ts';
import type { ImportPlan, KnownLine, Shop } from './plan-import.ts';
import { recordsOf, topsOf } from './table-records.ts';

/** Owners whose oil follows from a table at once: those who get a letter, and those who are rung instead. */
export interface OilSoon {
  readonly letters: number;
  readonly calls: number;
  /** When the next oiling is due, and whether that day is gone, by the row that names the last one. */
  readonly dueOn: ReadonlyMap<number, { readonly day: Day; readonly isPast: boolean }>;
}

/** When a top is due once a table is taken in. */
interface DueTop {
  readonly row: number;
  readonly ownerId: string;
  readonly dueOn: Day;
  /** Whether the line names its last oiling. */
  readonly isTold: boolean;
}

/**
 * How many owners would be written to about oil at once, since by a table their tops are due soon or late; those
 * who are late for longer than letters are written are counted apart. Whoever has a day booked is told of
 * that alone, and a top on record whose due day the table leaves as it is follows from no table.
 */
export async function oilSoon(context: Context, shop: Shop, plan: ImportPlan): Promise<OilSoon> {
  const { sql } = context.store;
  const at = context.now();
  const { foldedLimitDays } = await organisationFigures(sql, shop.id, 'folding');
  const own = await ownFiguresOf(sql, shop.id);
  const { aheadDays, secondLateDays, lateSayableDays } = figuresFor('round', own);
  const { cars } = recordsOf(plan.fresh, plan.owners, shop, foldedLimitDays, at);
  const carOf = new Map(cars.map((car) => [car.record.id, car]));
  const made = topsOf(cars, shop.patterns, own, at).get('tops') ?? [];
  const fresh = made.flatMap(({ carId, dueOn, lubricatedOn }): DueTop[] => {
    const car = carOf.get(String(carId));
    if (car === undefined) return [];
    const ownerId = String(car.record['ownerId']);
    const isTold = lubricatedOn !== null;
    return [{ row: car.line.row, ownerId, dueOn: String(dueOn), isTold }];
  });
  const stiff = await stiffOrMissing(sql, { organisationId: shop.id });
  const booked = await bookedForOil(sql, shop.id);
  const known = plan.changed.flatMap((one) => dueOfKnown(one, { stiff, own }));
  const tops = [...fresh, ...known.filter(({ topId }) => topId === null || !booked.has(topId))];
  const today = dayIn(shop.timeZone, at);
  const soon = addDays(today, aheadDays);
  // A private owner is reminded again and again: there is nobody else to ring.
  const since = shop.kind === 'private' ? '' : addDays(today, -secondLateDays - lateSayableDays);
  const owners = (fits: (dueOn: Day) => boolean) =>
    new Set(tops.filter(({ dueOn }) => fits(dueOn)).map(({ ownerId }) => ownerId)).size;
  return {
    letters: owners((dueOn) => dueOn <= soon && dueOn > since),
    calls: owners((dueOn) => dueOn <= since),
    dueOn: new Map(
      [...fresh, ...known]
        .filter(({ isTold }) => isTold)
        .map(({ row, dueOn }) => [row, { day: dueOn, isPast: dueOn < today }]),
    ),
  };
}

/** A top on record, or one that is put on a car on record, where the table moves its due day. */
function dueOfKnown(
  { line, there, bringsTop, oiling }: KnownLine,
  { stiff, own }: { readonly stiff: ReadonlySet<string>; readonly own: OwnFigures },
): (DueTop & { readonly topId: string | null })[] {
  const { row, car } = line;
  const { topId, ownerId, unmovedDays } = there;
  const fittedOn = (bringsTop ? car.fittedOn : null) ?? there.fittedOn;
  if (fittedOn === null) return [];
  const kept = {
    place: car.place ?? there.place,
    salt: car.salt ?? there.salt,
    use: car.use ?? there.use,
    foldsPerYear: car.foldsPerYear ?? there.foldsPerYear,
    unmovedDays,
  };
  const lubricatedOn = oiling?.becomes ?? there.lubricatedOn;
  const isStiff = topId !== null && stiff.has(topId);
  const { dueOn } = lubricationColumns(
    kept,
    { fittedOn, lubricatedOn, stiffOrMissing: isStiff },
    own,
  );
  return dueOn === there.dueOn ? [] : [{ row, ownerId, dueOn, isTold: oiling !== null, topId }];
}
