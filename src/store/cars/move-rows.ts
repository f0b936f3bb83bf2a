import type { Day } from '../../domain/calendar/day.ts';
import type { MoveFacts } from '../../domain/may-move/move-facts.ts';
import type { PivotKind } from '../../domain/pivots/frame-patterns.ts';
import type { PivotRecord } from '../../domain/pivots/series.ts';
import type { PivotState } from '../../domain/pivots/state.ts';
import type { Finding, Pivot, Reading, Visit } from '../generated/sqlite/client.ts';
import { groupBy } from '../database/group-by.ts';
import type { Sql } from '../database/sql.ts';
import { flag, marks } from '../database/sql.ts';

interface TopOnCar {
  readonly id: string;
  readonly carId: string;
  readonly fittedOn: Day;
}

type ReadRow = Pick<Pivot, 'carId' | 'code' | 'kind' | 'washersExpected'> &
  Pick<Reading, 'pivotId' | 'doneOn' | 'washersPresent' | 'axialPlayMm' | 'radialPlayMm'> & {
    readonly state: PivotState;
    readonly repaired: unknown;
  };

type FoundRow = Pick<Finding, 'topId' | 'fault' | 'pivotCode'> & { readonly doneOn: Day };

type WorkRow = Pick<
  Visit,
  'topId' | 'swayMm' | 'diagonalLeftMm' | 'diagonalRightMm' | 'breakawayN' | 'plannedOn' | 'doneOn'
>;

/**
 * What decides whether the tops on some cars may be moved, by car; a car without a top is left out.
 * Four queries, however many cars there are.
 */
export async function moveFactsOf(
  sql: Sql,
  carIds: readonly string[],
): Promise<Map<string, MoveFacts>> {
  if (carIds.length === 0) return new Map();
  const list = marks(carIds.length);
  const tops = await sql.all<TopOnCar>(
    `SELECT "id", "carId", "fittedOn" FROM "top" WHERE "carId" IN (${list}) AND "retiredOn" IS NULL`,
    carIds,
  );
  const readings = await sql.all<ReadRow>(
    `SELECT p."carId", p."code", p."kind", p."washersExpected", r."pivotId", r."doneOn", r."state", r."repaired", r."washersPresent", r."axialPlayMm", r."radialPlayMm" FROM "pivot" p JOIN "reading" r ON r."pivotId" = p."id" JOIN "visit" v ON v."id" = r."visitId" WHERE p."carId" IN (${list}) AND p."retiredOn" IS NULL AND v."state" = 'done' ORDER BY p."place", r."doneOn", r."id"`,
    carIds,
  );
  const found = await sql.all<FoundRow>(
    `SELECT f."topId", f."fault", f."pivotCode", v."doneOn" FROM "finding" f JOIN "visit" v ON v."id" = f."visitId" WHERE v."carId" IN (${list}) AND v."state" = 'done' AND f."fault" IS NOT NULL AND f."outcome" <> 'done'`,
    carIds,
  );
  const work = await sql.all<WorkRow>(
    `SELECT "topId", "swayMm", "diagonalLeftMm", "diagonalRightMm", "breakawayN", "plannedOn", "doneOn" FROM "visit" WHERE "carId" IN (${list}) AND (("state" = 'done' AND ("swayMm" IS NOT NULL OR "diagonalLeftMm" IS NOT NULL OR "breakawayN" IS NOT NULL)) OR ("state" = 'booked' AND "kind" = 'repair'))`,
    carIds,
  );
  const readingsOn = groupBy(readings, ({ carId }) => carId);
  const foundOn = groupBy(found, ({ topId }) => topId);
  const workOn = groupBy(work, ({ topId }) => topId);
  return new Map(
    tops.map((top) => [
      top.carId,
      {
        fittedOn: top.fittedOn,
        pivots: pivotRecords(readingsOn.get(top.carId) ?? []),
        frame: (workOn.get(top.id) ?? []).flatMap(measuresOf),
        findings: (foundOn.get(top.id) ?? []).map(({ fault, pivotCode, doneOn }) => ({
          fault,
          pivot: pivotCode,
          on: doneOn,
        })),
        repairsBookedOn: (workOn.get(top.id) ?? []).flatMap(({ doneOn, plannedOn }) =>
          doneOn === null && plannedOn !== null ? [plannedOn] : [],
        ),
      },
    ]),
  );
}

function pivotRecords(rows: readonly ReadRow[]): PivotRecord[] {
  const byPivot = groupBy(rows, ({ pivotId }) => pivotId);
  return [...byPivot.values()].flatMap((own) => {
    const [first] = own;
    if (first === undefined) return [];
    const { code, kind, washersExpected } = first;
    return [
      {
        code,
        kind: kind as PivotKind,
        washersExpected,
        states: own.map(({ doneOn, state }) => ({ doneOn, state })),
        washers: own.flatMap(({ doneOn, washersPresent: present }) =>
          present === null ? [] : [{ doneOn, present }],
        ),
        readings: own.flatMap(({ doneOn, axialPlayMm, radialPlayMm }) => [
          ...(axialPlayMm === null ? [] : [{ doneOn, method: 'axial' as const, mm: axialPlayMm }]),
          ...(radialPlayMm === null
            ? []
            : [{ doneOn, method: 'radial' as const, mm: radialPlayMm }]),
        ]),
        repairs: own.flatMap(({ doneOn, repaired }) => (flag(repaired) ? [doneOn] : [])),
      },
    ];
  });
}

/** A force of 0 N was typed to say "not measured": no frame starts by itself. */
function measuresOf(row: WorkRow): MoveFacts['frame'][number][] {
  const { doneOn, swayMm, diagonalLeftMm: left, diagonalRightMm: right, breakawayN } = row;
  if (doneOn === null) return [];
  return [
    {
      doneOn,
      swayMm: swayMm ?? undefined,
      diagonalsMm: left === null || right === null ? undefined : { left, right },
      breakawayN: breakawayN === null || breakawayN === 0 ? undefined : breakawayN,
    },
  ];
}
