import type { Day } from '../../domain/calendar/day.ts';
import { addMonths } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { LubricationDue } from '../../domain/lubrication/due.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { lubricationDue } from '../../domain/lubrication/due.ts';
import type { LookDue } from '../../domain/lubrication/look-again.ts';
import { lookDue } from '../../domain/lubrication/look-again.ts';
import type { MayMove } from '../../domain/may-move/move-verdict.ts';
import { FREE_TO_MOVE } from '../../domain/may-move/move-verdict.ts';
import { notFound } from '../../domain/refusal.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import type { DrawnPivot } from '../../store/tops/pivot-rows.ts';
import { drawnPivotsOf } from '../../store/tops/pivot-rows.ts';
import type { TopRow } from '../../store/tops/top-rows.ts';
import { findTop } from '../../store/tops/top-rows.ts';
import type { Caller } from '../context/context.ts';
import type { MayMoveRecord } from './may-move.ts';
import { mayMoveNow, mayMoveRecordOf } from './may-move.ts';
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
  readonly coverName: string | null;
  readonly coverColour: string | null;
  readonly makersReference: string | null;
  readonly windowMade: string | null;
  readonly warranties: { part: string; months: number; endsOn: Day }[];
  readonly pivots: PivotRecord[];
  readonly lubrication: LubricationRecord;
  /** When joints that were found stiff or repaired are looked at again; null where none asks for it. */
  readonly look: LookDue | null;
  /** Whether it may be moved, today. A retired top is free: nobody moves it any more. */
  readonly mayMove: MayMoveRecord;
  readonly version: number;
}

/** A top of the caller's organisation with its car's zone; anybody else's is not found. */
export async function ownTop(sql: Sql, caller: Caller, id: string): Promise<TopRow> {
  const row = await findTop(sql, caller.organisationId, id);
  if (row === null) throw notFound('top');
  return row;
}

/** A top as people read it, from its row. */
export async function topRecord(sql: Sql, row: TopRow, now: Instant): Promise<TopRecord> {
  const { carId, timeZone, organisationId } = row;
  const move = await mayMoveNow(sql, organisationId, { carId, timeZone }, now);
  return topRecordOf(row, await drawnPivotsOf(sql, row), move, now);
}

/** A top as people read it, with what is due, seen on the day that it is in the car's zone. */
export function topRecordOf(
  row: TopRow,
  pivots: DrawnPivot[],
  move: MayMove,
  now: Instant,
): TopRecord {
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
    coverName: row.coverName,
    coverColour: row.coverColour,
    makersReference: row.makersReference,
    windowMade: row.windowMade,
    warranties: warranties.map(({ part, months }) => ({
      part,
      months,
      endsOn: addMonths(row.fittedOn, months),
    })),
    pivots,
    lubrication: lubricationRecordOf(row, now),
    look: row.retiredOn === null ? lookRecordOf(row, now) : null,
    mayMove: mayMoveRecordOf(row.retiredOn === null ? move : FREE_TO_MOVE),
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

function lookRecordOf(row: TopRow, now: Instant): LookDue | null {
  if (row.lookAfterOn === null) return null;
  return lookDue(
    { since: row.lookAfterOn, oilDueOn: row.dueOn, today: dayIn(row.timeZone, now) },
    figuresFor('look', ownFiguresFrom(row.ownRules)),
  );
}
