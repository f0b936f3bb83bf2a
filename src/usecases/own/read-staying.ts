import type { Instant } from '../../domain/calendar/instant.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { MOVE_FINDINGS } from '../../domain/may-move/move-findings.ts';
import type { SuspectRow } from '../../store/cars/staying-rows.ts';
import { suspectCars, suspectsAmong } from '../../store/cars/staying-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import type { MayMoveRecord } from './may-move.ts';
import { mayMoveOf, mayMoveRecordOf } from './may-move.ts';

/** A car whose top must not be moved, and whom to ring about it. */
export interface StayingRecord extends Omit<SuspectRow, 'refusesCalls'> {
  readonly refusesCalls: boolean;
  readonly mayMove: MayMoveRecord;
  readonly repairOn: Day | null;
}

/**
 * Every car of an organisation whose top must not be moved, those first for which no repair is booked,
 * the longest known first. Whatever else is booked changes nothing.
 */
export async function readStaying(
  sql: Sql,
  organisationId: string,
  now: Instant,
): Promise<StayingRecord[]> {
  const own = await ownFiguresOf(sql, organisationId);
  const { axialActOver, radialActOver, ramActOver, washerThickness } = figuresFor('pivots', own);
  const frame = figuresFor('frame', own);
  const suspects = await suspectCars(sql, organisationId, {
    states: ['seized', 'sheared', 'oval'],
    faults: Object.keys(MOVE_FINDINGS).filter((fault) => MOVE_FINDINGS[fault] === 'leave'),
    // From there on the rule may say "leave"; a washer's own thickness is reached, not passed.
    playOverMm: Math.min(axialActOver, radialActOver, ramActOver, washerThickness) * 0.999,
    // A sway counts against the car's own first reading too, taken as no less than its error.
    swayOverMm: Math.min(frame.swayActOver, frame.swayActTimes * frame.swayRepeatability * 0.999),
    diagonalsOverMm: frame.diagonalsActOver,
  });
  return stayingAmong(sql, organisationId, suspects, now);
}

/** The same of some cars alone. */
export async function stayingOf(
  sql: Sql,
  organisationId: string,
  carIds: readonly string[],
  now: Instant,
): Promise<StayingRecord[]> {
  if (carIds.length === 0) return [];
  return stayingAmong(sql, organisationId, await suspectsAmong(sql, carIds), now);
}

async function stayingAmong(
  sql: Sql,
  organisationId: string,
  suspects: readonly SuspectRow[],
  now: Instant,
): Promise<StayingRecord[]> {
  const moves = await mayMoveOf(sql, organisationId, suspects, now);
  const since = ({ mayMove }: StayingRecord) => mayMove.reasons.map(({ on }) => on).sort()[0] ?? '';
  return suspects
    .flatMap((car): StayingRecord[] => {
      const move = moves.get(car.carId);
      if (move?.verdict !== 'leave') return [];
      const record = mayMoveRecordOf(move);
      const { repairOn } = record;
      return [{ ...car, refusesCalls: flag(car.refusesCalls), mayMove: record, repairOn }];
    })
    .sort(
      (a, b) =>
        Number(a.repairOn !== null) - Number(b.repairOn !== null) || (since(a) < since(b) ? -1 : 1),
    );
}
