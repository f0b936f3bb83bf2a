import { dayIn } from '../../domain/calendar/zone.ts';
import type { HeldAgainst, LastMeasures } from '../../domain/faults/held-against.ts';
import { heldAgainst } from '../../domain/faults/held-against.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { Sql } from '../../store/database/sql.ts';
import { pivotsOf } from '../../store/tops/pivot-rows.ts';
import { frameReadings } from '../../store/visits/frame-rows.ts';
import { lastReadings } from '../../store/visits/last-reading-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import type { TopRecord } from '../own/top-records.ts';
import type { FaultFindingRecord } from './find-faults.ts';

/**
 * What the checks that are asked for are held against: the organisation's limits, and what was read last
 * on the top that is meant, if one is.
 */
export async function heldChecks(
  context: Context,
  caller: Caller,
  { nextCheck, alsoLook }: Pick<FaultFindingRecord, 'nextCheck' | 'alsoLook'>,
  top: TopRecord | null = null,
  timeZone = 'UTC',
): Promise<ReadonlyMap<string, HeldAgainst>> {
  const { sql } = context.store;
  const own = await ownFiguresOf(sql, caller.organisationId);
  const figures = {
    frame: figuresFor('frame', own),
    pivots: figuresFor('pivots', own),
    hole: figuresFor('hole', own),
  };
  const asked = [...(nextCheck === null ? [] : [nextCheck]), ...alsoLook].map(({ id }) => id);
  const measures =
    top === null ? null : await lastMeasures(sql, top, dayIn(timeZone, context.now()));
  return new Map(asked.map((id) => [id, heldAgainst(id, figures, measures)]));
}

async function lastMeasures(sql: Sql, top: TopRecord, today: string): Promise<LastMeasures> {
  const { carId, fittedOn } = top;
  const last = await lastReadings(sql, carId, today);
  const joints = await pivotsOf(sql, { carId, fittedOn, retiredOn: null });
  return {
    joints: joints.flatMap(({ id, code, washersExpected }) => {
      const read = last.get(id);
      return read === undefined ? [] : [{ ...read, code, washersExpected }];
    }),
    frame: await frameReadings(sql, top.id),
  };
}
