import type { Day } from '../../domain/calendar/day.ts';
import { addMonths } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { LubricationDue } from '../../domain/lubrication/due.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { lubricationDue } from '../../domain/lubrication/due.ts';
import { notFound } from '../../domain/refusal.ts';
import type { Sql } from '../../store/database/sql.ts';
import { first, flag } from '../../store/database/sql.ts';
import type { Caller } from '../context/context.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';

export interface PivotRecord {
  readonly code: string;
  readonly side: string;
  readonly kind: string;
  readonly washersExpected: number;
}

export interface LubricationRecord extends LubricationDue {
  readonly because: string[];
}

export interface TopRecord {
  readonly id: string;
  readonly carId: string;
  readonly fittedOn: Day;
  readonly retiredOn: Day | null;
  readonly framePattern: string;
  readonly cover: { readonly material: string };
  readonly window: string;
  readonly powered: boolean;
  readonly warranties: { part: string; months: number; endsOn: Day }[];
  readonly pivots: PivotRecord[];
  readonly lubrication: LubricationRecord;
  readonly version: number;
}

export interface TopRow {
  id: string;
  organisationId: string;
  carId: string;
  fittedOn: string;
  retiredOn: string | null;
  framePattern: string;
  material: string;
  window: string;
  powered: unknown;
  warranties: string;
  lubricatedOn: string | null;
  intervalMonths: number;
  because: string;
  dueOn: string;
  version: number;
  timeZone: string;
  /** The organisation's own figures; the defaults hold where a statement did not ask for them. */
  ownRules?: string | undefined;
}

const TOP =
  'SELECT t.*, c."timeZone", g."ownRules" FROM "top" t JOIN "car" c ON c."id" = t."carId" JOIN "organisation" g ON g."id" = t."organisationId" WHERE t."id" = ? AND t."organisationId" = ?';

/** A top of the caller's organisation with its car's zone; anybody else's is not found. */
export async function ownTop(sql: Sql, caller: Caller, id: string): Promise<TopRow> {
  const row = await first<TopRow>(sql, TOP, [id, caller.organisationId]);
  if (row === null) throw notFound('top');
  return row;
}

export interface PivotRow extends PivotRecord {
  id: string;
  place: number;
}

/** The pivots that a top has, or had while it was on the car, from the body forward. */
export function pivotsOf(sql: Sql, top: TopRow): Promise<PivotRow[]> {
  const { carId, fittedOn, retiredOn } = top;
  return retiredOn === null
    ? sql.all(
        'SELECT "id", "code", "side", "kind", "washersExpected", "place" FROM "pivot" WHERE "carId" = ? AND "retiredOn" IS NULL ORDER BY "place"',
        [carId],
      )
    : sql.all(
        'SELECT "id", "code", "side", "kind", "washersExpected", "place" FROM "pivot" WHERE "carId" = ? AND "since" <= ? AND ("retiredOn" IS NULL OR "retiredOn" > ?) ORDER BY "place"',
        [carId, retiredOn, fittedOn],
      );
}

/** A top as people read it, with what is due, seen on the day that it is in the car's zone. */
export function topRecordOf(row: TopRow, pivots: readonly PivotRow[], now: Instant): TopRecord {
  const warranties = JSON.parse(row.warranties) as { part: string; months: number }[];
  return {
    id: row.id,
    carId: row.carId,
    fittedOn: row.fittedOn,
    retiredOn: row.retiredOn,
    framePattern: row.framePattern,
    cover: { material: row.material },
    window: row.window,
    powered: flag(row.powered),
    warranties: warranties.map(({ part, months }) => ({
      part,
      months,
      endsOn: addMonths(row.fittedOn, months),
    })),
    pivots: pivots.map(({ code, side, kind, washersExpected }) => ({
      code,
      side,
      kind,
      washersExpected,
    })),
    lubrication: lubricationRecordOf(row, now),
    version: row.version,
  };
}

export function lubricationRecordOf(row: TopRow, now: Instant): LubricationRecord {
  return {
    ...lubricationDue(
      {
        fittedOn: row.fittedOn,
        lastOn: row.lubricatedOn,
        intervalMonths: row.intervalMonths,
        today: dayIn(row.timeZone, now),
      },
      figuresFor('due', ownFiguresFrom(row.ownRules)),
    ),
    because: JSON.parse(row.because) as string[],
  };
}
