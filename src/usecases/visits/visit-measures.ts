import type { Day } from '../../domain/calendar/day.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { readingsOf } from '../../domain/frame/frame-readings.ts';
import type { FrameMeasure } from '../../domain/frame/measured-frame.ts';
import { measuredOn } from '../../domain/frame/measured-frame.ts';
import { lastFrameRepair } from '../../domain/may-move/may-move.ts';
import type { PivotRecord } from '../../domain/pivots/series.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import { frameReadings } from '../../store/visits/frame-rows.ts';
import type { Sql } from '../../store/database/sql.ts';

/**
 * What was measured at the frame on a visit, for its report. What was measured on a repair was so before
 * the work and is so no more; nothing is said of a top that is on the car no longer.
 */
export async function measuredPart(
  sql: Sql,
  car: CarFacts,
  { kind, topId, doneOn }: { readonly kind: string; readonly topId: string; readonly doneOn: Day },
  records: readonly PivotRecord[],
  own: OwnFigures,
): Promise<FrameMeasure[]> {
  if (kind === 'repair' || car.top?.id !== topId) return [];
  const figures = figuresFor('frame', own);
  const repairedOn = lastFrameRepair(records, doneOn, figures);
  const all = await frameReadings(sql, topId);
  return measuredOn(doneOn, readingsOf(all, car.top.fittedOn, doneOn, repairedOn), figures);
}
