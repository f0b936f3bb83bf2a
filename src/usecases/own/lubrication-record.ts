import type { Day } from '../../domain/calendar/day.ts';
import { dueDay } from '../../domain/calendar/day.ts';
import type { Keeping } from '../../domain/lubrication/interval.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { lubricationInterval } from '../../domain/lubrication/interval.ts';
import type { Sql } from '../../store/database/sql.ts';
import { first } from '../../store/database/sql.ts';
import type { CarRow } from './car-records.ts';
import { heldFiguresOf } from '../figures/shop-rules.ts';

export interface LubricationColumns {
  readonly lubricatedOn: Day | null;
  readonly intervalMonths: number;
  readonly because: string;
  readonly dueOn: Day;
}

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

/** Works a top's lubrication out again after a visit or a change of keeping, inside the transaction. */
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
  const last = await first<{ doneOn: Day | null }>(
    sql,
    `SELECT MAX("doneOn") AS "doneOn" FROM "visit" WHERE "topId" = ? AND "state" = 'done' AND "kind" = 'lubrication'`,
    [top.id],
  );
  const columns = lubricationColumns(
    car,
    {
      fittedOn: top.fittedOn,
      lubricatedOn: last?.doneOn ?? null,
      stiffOrMissing: (await stiffOrMissing(sql, 'v."topId" = ?', top.id)).has(top.id),
    },
    own,
  );
  await sql.run(
    'UPDATE "top" SET "lubricatedOn" = ?, "intervalMonths" = ?, "because" = ?, "dueOn" = ? WHERE "id" = ?',
    [columns.lubricatedOn, columns.intervalMonths, columns.because, columns.dueOn, top.id],
  );
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
  const rows = await sql.all<KeptTop>(
    `SELECT t."id", t."fittedOn", t."lubricatedOn", t."intervalMonths", t."because", t."dueOn", c."place", c."salt", c."use", c."foldsPerYear", c."unmovedDays" FROM "top" t JOIN "car" c ON c."id" = t."carId" WHERE t."organisationId" = ? AND t."retiredOn" IS NULL`,
    [organisationId],
  );
  const stiff = await stiffOrMissing(sql, 'v."organisationId" = ?', organisationId);
  const changed = rows
    .map((row) => {
      const { fittedOn, lubricatedOn } = row;
      const top = { fittedOn, lubricatedOn, stiffOrMissing: stiff.has(row.id) };
      return { row, now: lubricationColumns(row, top, own) };
    })
    .filter(({ row, now }) => now.because !== row.because || now.dueOn !== row.dueOn);
  for (let start = 0; start < changed.length; start += TOPS_AT_ONCE) {
    const part = changed.slice(start, start + TOPS_AT_ONCE);
    await sql.run(
      `WITH "v"("id", "months", "because", "due") AS (VALUES ${part.map(() => '(?, CAST(? AS INTEGER), ?, ?)').join(', ')})
       UPDATE "top" SET "intervalMonths" = (SELECT "months" FROM "v" WHERE "v"."id" = "top"."id"), "because" = (SELECT "v"."because" FROM "v" WHERE "v"."id" = "top"."id"), "dueOn" = (SELECT "due" FROM "v" WHERE "v"."id" = "top"."id") WHERE "id" IN (SELECT "id" FROM "v")`,
      part.flatMap(({ row, now }) => [row.id, now.intervalMonths, now.because, now.dueOn]),
    );
  }
}

const TOPS_AT_ONCE = 500;

interface KeptTop extends KeptCar {
  id: string;
  fittedOn: Day;
  lubricatedOn: Day | null;
  intervalMonths: number;
  because: string;
  dueOn: Day;
}

/**
 * Of the tops whose visits fit a condition, those with a pivot whose latest reading found it stiff or
 * short of washers. What was repaired on that visit is so no longer.
 */
async function stiffOrMissing(
  sql: Sql,
  condition: string,
  value: string,
): Promise<ReadonlySet<string>> {
  const rows = await sql.all<{ topId: string }>(
    `SELECT DISTINCT "topId" FROM (
       SELECT v."topId", r."state", r."repaired", r."washersPresent", p."washersExpected",
              ROW_NUMBER() OVER (PARTITION BY v."topId", r."pivotId" ORDER BY r."doneOn" DESC, r."id" DESC) AS "nth"
       FROM "reading" r JOIN "visit" v ON v."id" = r."visitId" JOIN "pivot" p ON p."id" = r."pivotId"
       WHERE ${condition} AND v."state" = 'done') "latest"
     WHERE "nth" = 1 AND NOT "repaired" AND ("state" = 'stiff' OR "washersPresent" < "washersExpected")`,
    [value],
  );
  return new Set(rows.map(({ topId }) => topId));
}
