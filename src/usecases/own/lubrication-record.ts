import type { Day } from '../../domain/calendar/day.ts';
import { dueDay } from '../../domain/calendar/day.ts';
import type { Keeping } from '../../domain/lubrication/keeping.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { lubricationInterval } from '../../domain/lubrication/interval.ts';
import { lookAsked } from '../../domain/lubrication/look-again.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { CarRow } from '../../store/cars/car-rows.ts';
import type { LubricationColumns } from '../../store/tops/lubrication-rows.ts';
import {
  keptTops,
  lookFacts,
  lubricatedLastOn,
  stiffOrMissing,
  storeIntervals,
  storeLookAfter,
  storeLubrication,
} from '../../store/tops/lubrication-rows.ts';
import { heldFiguresOf } from '../figures/shop-rules.ts';

/** How a car is kept, as its columns say. */
export type KeptCar = Pick<CarRow, 'place' | 'salt' | 'use' | 'foldsPerYear' | 'unmovedDays'>;

/**
 * The lubrication columns of a top, worked out from how its car is kept, what was found last, and
 * the organisation's own figures.
 */
export function lubricationColumns(
  car: KeptCar,
  top: {
    readonly fittedOn: Day;
    readonly lubricatedOn: Day | null;
    readonly stiffOrMissing: boolean;
  },
  own: OwnFigures,
): LubricationColumns {
  const { months, because } = lubricationInterval(
    {
      keeping: {
        place: car.place as Keeping['place'],
        salt: car.salt as Keeping['salt'],
        use: car.use as Keeping['use'],
        ...(car.foldsPerYear === null ? {} : { foldsPerYear: car.foldsPerYear }),
      },
      stiffOrMissing: top.stiffOrMissing,
      ...(car.unmovedDays === null ? {} : { unmovedDays: car.unmovedDays }),
    },
    figuresFor('interval', own),
  );
  return {
    lubricatedOn: top.lubricatedOn,
    intervalMonths: months,
    because: JSON.stringify(because),
    dueOn: dueDay(top.lubricatedOn ?? top.fittedOn, months, 1),
  };
}

/** Works a top's lubrication, and the look that its joints ask for, out again after a visit or a change of keeping, inside the transaction. */
export async function refreshLubrication(
  sql: Sql,
  car: KeptCar,
  top: {
    readonly id: string;
    readonly organisationId: string;
    readonly carId: string;
    readonly fittedOn: Day;
  },
): Promise<LubricationColumns> {
  const own = await heldFiguresOf(sql, top.organisationId, top.carId);
  const columns = lubricationColumns(
    car,
    {
      fittedOn: top.fittedOn,
      lubricatedOn: await lubricatedLastOn(sql, top.id),
      stiffOrMissing: (await stiffOrMissing(sql, { topId: top.id })).has(top.id),
    },
    own,
  );
  await storeLubrication(sql, top.id, columns);
  const { latest, visits } = await lookFacts(sql, top.id);
  await storeLookAfter(sql, top.id, lookAsked(latest, visits));
  return columns;
}

/**
 * Works the lubrication of all an organisation's tops out again after a change of its figures, inside
 * the transaction. Five statements, however many tops there are, but for those that it rewrites.
 */
export async function refreshAllLubrication(
  sql: Sql,
  organisationId: string,
  own: OwnFigures,
): Promise<void> {
  const rows = await keptTops(sql, organisationId);
  const stiff = await stiffOrMissing(sql, { organisationId });
  const changed = rows
    .map((row) => {
      const { fittedOn, lubricatedOn } = row;
      const top = { fittedOn, lubricatedOn, stiffOrMissing: stiff.has(row.id) };
      return { row, now: lubricationColumns(row, top, own) };
    })
    .filter(({ row, now }) => now.because !== row.because || now.dueOn !== row.dueOn);
  await storeIntervals(
    sql,
    changed.map(({ row, now }) => ({ ...now, id: row.id })),
  );
}
