import { frameReadings } from '../../store/visits/frame-rows.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { FrameFigures } from '../../domain/frame/frame-figures.ts';
import type { Judged } from '../../domain/frame/frame-readings.ts';
import type { PivotGap } from '../../domain/frame/frame-report.ts';
import { frameReport } from '../../domain/frame/frame-report.ts';
import type { JointShare } from '../../domain/frame/sway-share.ts';
import { leverOf } from '../../domain/frame/sway-share.ts';
import type { Twist } from '../../domain/frame/twist.ts';
import type { PivotRecord } from '../../domain/pivots/series.ts';
import type { Verdict } from '../../domain/pivots/state.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { TopRow } from '../../store/tops/top-rows.ts';

export interface FrameRecord {
  /** Null where nothing was measured. */
  readonly verdict: Verdict | null;
  readonly because: string[];
  readonly sway: Judged | null;
  /** `value` is the difference of the two, in mm. */
  readonly diagonals: Judged | null;
  readonly breakaway: Judged | null;
  /** Which joints' gaps explain the sway; null where no sway was measured. */
  readonly share: {
    readonly joints: JointShare[];
    readonly explainedMm: number;
    readonly unexplainedMm: number;
  } | null;
  readonly twist: Twist;
  readonly missing: string[];
}

/** The report on a top's frame on a day, from the visits since it was fitted. One query. */
export async function frameRecord(
  sql: Sql,
  top: Pick<TopRow, 'id' | 'fittedOn'>,
  on: Day,
  known: {
    readonly gaps: readonly PivotGap[];
    readonly records: readonly PivotRecord[];
    readonly figures: FrameFigures;
  },
): Promise<FrameRecord> {
  const report = frameReport({
    fittedOn: top.fittedOn,
    today: on,
    repairedOn: lastRepair(known.records, on, known.figures),
    readings: await frameReadings(sql, top.id),
    gaps: known.gaps,
    joints: known.records.map(({ code, kind }) => ({ pivot: code, kind })),
    figures: known.figures,
  });
  return {
    ...report,
    because: [...report.because],
    share: report.share === null ? null : { ...report.share, joints: [...report.share.joints] },
    missing: [...report.missing],
  };
}

/** The last repair up to a day of a joint that carries the frame, that is, one with a lever. */
function lastRepair(records: readonly PivotRecord[], on: Day, figures: FrameFigures): Day | null {
  return records
    .filter(({ kind }) => leverOf(kind, figures) !== null)
    .flatMap(({ repairs }) => repairs)
    .filter((day) => day <= on)
    .reduce<Day | null>((last, day) => (last === null || day > last ? day : last), null);
}
