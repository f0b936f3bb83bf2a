import type { Day } from '../domain/calendar/day.ts';
import { dueDay } from '../domain/calendar/day.ts';
import type { Keeping } from '../domain/lubrication/interval.ts';
import { lubricationInterval } from '../domain/lubrication/interval.ts';
import type { Sql } from '../store/sql.ts';
import { first } from '../store/sql.ts';
import type { CarRow } from './car-records.ts';

export interface LubricationColumns {
  readonly lubricatedOn: Day | null;
  readonly intervalMonths: number;
  readonly because: string;
  readonly dueOn: Day;
}

/** The lubrication columns of a top, worked out from how its car is kept and what was found last. */
export function lubricationColumns(
  car: Pick<CarRow, 'place' | 'salt' | 'use' | 'foldsPerYear' | 'unmovedDays'>,
  top: {
    readonly fittedOn: Day;
    readonly lubricatedOn: Day | null;
    readonly stiffOrMissing: boolean;
  },
): LubricationColumns {
  const { months, because } = lubricationInterval({
    keeping: {
      place: car.place as Keeping['place'],
      salt: car.salt as Keeping['salt'],
      use: car.use as Keeping['use'],
      ...(car.foldsPerYear === null ? {} : { foldsPerYear: car.foldsPerYear }),
    },
    stiffOrMissing: top.stiffOrMissing,
    ...(car.unmovedDays === null ? {} : { unmovedDays: car.unmovedDays }),
  });
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
  car: Parameters<typeof lubricationColumns>[0],
  top: { readonly id: string; readonly fittedOn: Day },
): Promise<LubricationColumns> {
  const last = await first<{ doneOn: Day | null }>(
    sql,
    `SELECT MAX("doneOn") AS "doneOn" FROM "visit" WHERE "topId" = ? AND "state" = 'done' AND "kind" = 'lubrication'`,
    [top.id],
  );
  const columns = lubricationColumns(car, {
    fittedOn: top.fittedOn,
    lubricatedOn: last?.doneOn ?? null,
    stiffOrMissing: await stiffOrMissing(sql, top.id),
  });
  await sql.run(
    'UPDATE "top" SET "lubricatedOn" = ?, "intervalMonths" = ?, "because" = ?, "dueOn" = ? WHERE "id" = ?',
    [columns.lubricatedOn, columns.intervalMonths, columns.because, columns.dueOn, top.id],
  );
  return columns;
}

/** Whether any pivot's latest reading found it stiff or short of washers. */
async function stiffOrMissing(sql: Sql, topId: string): Promise<boolean> {
  const row = await first<{ n: number }>(
    sql,
    `SELECT COUNT(*) AS "n" FROM (
       SELECT r."state", r."washersPresent", p."washersExpected",
              ROW_NUMBER() OVER (PARTITION BY r."pivotId" ORDER BY r."doneOn" DESC, r."id" DESC) AS "nth"
       FROM "reading" r JOIN "visit" v ON v."id" = r."visitId" JOIN "pivot" p ON p."id" = r."pivotId"
       WHERE v."topId" = ? AND v."state" = 'done') "latest"
     WHERE "nth" = 1 AND ("state" = 'stiff' OR "washersPresent" < "washersExpected")`,
    [topId],
  );
  return (row?.n ?? 0) > 0;
}
