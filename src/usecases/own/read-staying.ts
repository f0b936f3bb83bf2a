import type { Instant } from '../../domain/calendar/instant.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { SuspectRow } from '../../store/cars/staying-rows.ts';
import { suspectsAmong } from '../../store/cars/staying-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import type { MayMoveRecord } from './may-move.ts';
import { mayMoveOf, mayMoveRecordOf } from './may-move.ts';

/** A car whose top must not be moved, and whom to ring about it. */
export interface StayingRecord extends Omit<SuspectRow, 'refusesCalls'> {
  readonly refusesCalls: boolean;
  readonly mayMove: MayMoveRecord;
  readonly repairOn: Day | null;
}

/**
 * Those of some cars whose top must not be moved; the ones for which no repair is booked first, then the
 * longest known. Whatever else is booked changes nothing.
 */
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
