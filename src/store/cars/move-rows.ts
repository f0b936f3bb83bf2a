import type { Day } from '../../domain/calendar/day.ts';
import type { Mended, MoveFacts, MovePivot } from '../../domain/may-move/move-facts.ts';
import type { PivotKind } from '../../domain/pivots/frame-patterns.ts';
import type { PivotState } from '../../domain/pivots/state.ts';
import type { Finding, Pivot, Reading, Visit } from '../generated/sqlite/client.ts';
import { forbidsOnEveryTop } from '../../domain/may-move/move-findings.ts';
import { groupBy } from '../database/group-by.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, flag } from '../database/sql.ts';

interface TopOnCar {
  readonly id: string;
  readonly carId: string;
  readonly fittedOn: Day;
  readonly powered: unknown;
}

type ReadRow = Pick<Pivot, 'carId' | 'code' | 'kind' | 'washersExpected'> &
  Pick<Reading, 'pivotId' | 'doneOn' | 'washersPresent' | 'axialPlayMm' | 'radialPlayMm'> & {
    readonly state: PivotState;
    readonly repaired: unknown;
    readonly visitKind: string;
  };

type FoundRow = Pick<Finding, 'topId' | 'visitId' | 'fault' | 'pivotCode' | 'outcome'> & {
  readonly carId: string;
  readonly doneOn: Day;
  readonly decidedOn: Day | null;
};

type WorkRow = Pick<
  Visit,
  | 'id'
  | 'carId'
  | 'kind'
  | 'topId'
  | 'swayMm'
  | 'diagonalLeftMm'
  | 'diagonalRightMm'
  | 'breakawayN'
  | 'plannedOn'
  | 'doneOn'
> & { readonly readings: number };

// Play from which a reading can speak against moving: below the least that a shop can set for "plan".
const PLAY_THAT_SPEAKS_MM = 0.39;

/**
 * What decides whether the tops on some cars may be moved, by car. A car of which nothing was ever read,
 * found, measured or booked that could speak against it is left out, as is one without a top: they are
 * free to move. One query for those, five for the others, however many cars there are.
 */
export async function moveFactsOf(
  sql: Sql,
  allCarIds: readonly string[],
): Promise<Map<string, MoveFacts>> {
  if (allCarIds.length === 0) return new Map();
  const carIds = await carsOfNote(sql, allCarIds);
  if (carIds.length === 0) return new Map();
  const tops = await sql.all<TopOnCar>(
    `SELECT "id", "carId", "fittedOn", "powered" FROM "top" WHERE "carId" ${AMONG} AND "retiredOn" IS NULL`,
    [carIds],
  );
  const readings = await sql.all<ReadRow>(
    `SELECT p."carId", p."code", p."kind", p."washersExpected", r."pivotId", r."doneOn", r."state", r."repaired", r."washersPresent", r."axialPlayMm", r."radialPlayMm", v."kind" AS "visitKind" FROM "pivot" p JOIN "reading" r ON r."pivotId" = p."id" JOIN "visit" v ON v."id" = r."visitId" WHERE p."carId" ${AMONG} AND p."retiredOn" IS NULL AND v."state" = 'done' ORDER BY p."place", r."doneOn", r."id"`,
    [carIds],
  );
  const found = await sql.all<FoundRow>(
    `SELECT v."carId", f."topId", f."visitId", f."fault", f."pivotCode", f."outcome", f."decidedOn", v."doneOn" FROM "finding" f JOIN "visit" v ON v."id" = f."visitId" WHERE v."carId" ${AMONG} AND v."state" = 'done' AND f."fault" IS NOT NULL`,
    [carIds],
  );
  const work = await sql.all<WorkRow>(
    `SELECT v."id", v."carId", v."kind", v."topId", v."swayMm", v."diagonalLeftMm", v."diagonalRightMm", v."breakawayN", v."plannedOn", v."doneOn", (SELECT COUNT(*) FROM "reading" r WHERE r."visitId" = v."id") AS "readings" FROM "visit" v WHERE v."carId" ${AMONG} AND ((v."state" = 'done' AND (v."kind" = 'repair' OR v."swayMm" IS NOT NULL OR v."diagonalLeftMm" IS NOT NULL OR v."breakawayN" IS NOT NULL)) OR (v."state" = 'booked' AND v."kind" = 'repair'))`,
    [carIds],
  );
  const readingsOn = groupBy(readings, ({ carId }) => carId);
  const foundOn = groupBy(found, ({ carId }) => carId);
  const workOn = groupBy(work, ({ carId }) => carId);
  return new Map(
    tops.map((top) => {
      const own = workOn.get(top.carId) ?? [];
      const all = foundOn.get(top.carId) ?? [];
      return [
        top.carId,
        {
          fittedOn: top.fittedOn,
          powered: flag(top.powered),
          pivots: pivotRecords(readingsOn.get(top.carId) ?? []),
          frame: own.filter(({ topId }) => topId === top.id).flatMap(measuresOf),
          findings: all
            .filter(({ outcome, topId, fault }) => {
              if (outcome === 'done') return false;
              // A new cover is put on the old frame: what ails that one goes with it.
              return topId === top.id || forbidsOnEveryTop(fault ?? '');
            })
            .map(foundOf),
          mended: [
            ...all.filter(({ outcome }) => outcome === 'done').map(mendedOf),
            ...own.filter(isWholeRepair).map(repairOf),
          ],
          repairsBookedOn: own.flatMap(({ doneOn, plannedOn }) =>
            doneOn === null && plannedOn !== null ? [plannedOn] : [],
          ),
        },
      ];
    }),
  );
}

const OF_NOTE = `SELECT DISTINCT v."carId" FROM "visit" v WHERE v."carId" ${AMONG} AND ((v."state" = 'booked' AND v."kind" = 'repair') OR (v."state" = 'done' AND (v."swayMm" IS NOT NULL OR v."diagonalLeftMm" IS NOT NULL OR v."breakawayN" IS NOT NULL
       OR EXISTS (SELECT 1 FROM "finding" f WHERE f."visitId" = v."id" AND f."fault" IS NOT NULL)
       OR EXISTS (SELECT 1 FROM "reading" r JOIN "pivot" p ON p."id" = r."pivotId" WHERE r."visitId" = v."id" AND (r."state" NOT IN ('free', 'dry') OR r."axialPlayMm" > ? OR r."radialPlayMm" > ? OR r."washersPresent" < p."washersExpected")))))`;

/** Of some cars those whose visits hold anything that can bear on moving the top. */
async function carsOfNote(sql: Sql, carIds: readonly string[]): Promise<string[]> {
  const rows = await sql.all<{ carId: string }>(OF_NOTE, [
    carIds,
    PLAY_THAT_SPEAKS_MM,
    PLAY_THAT_SPEAKS_MM,
  ]);
  return rows.map(({ carId }) => carId);
}

function foundOf({ fault, pivotCode, doneOn, visitId }: FoundRow): MoveFacts['findings'][number] {
  return { fault, pivot: pivotCode, on: doneOn, visit: visitId };
}

function mendedOf(row: FoundRow): Mended {
  return { ...foundOf(row), on: row.decidedOn ?? row.doneOn };
}

function isWholeRepair({ kind, doneOn, readings }: WorkRow): boolean {
  return kind === 'repair' && doneOn !== null && readings === 0;
}

function repairOf({ id, doneOn }: WorkRow): Mended {
  return { fault: null, pivot: null, on: doneOn ?? '', visit: id };
}

function pivotRecords(rows: readonly ReadRow[]): MovePivot[] {
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
        states: own.map(({ doneOn, state, visitKind }) => ({
          doneOn,
          state,
          onOiling: visitKind === 'lubrication',
        })),
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
