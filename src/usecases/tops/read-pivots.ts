import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { PivotFigures } from '../../domain/pivots/figures.ts';
import { limitsOf } from '../../domain/pivots/judged-series.ts';
import { pivotReports } from '../../domain/pivots/pivot-reports.ts';
import type { PivotReport } from '../../domain/pivots/pivot-report.ts';
import type { Limits, Projection } from '../../domain/pivots/projection.ts';
import type { Method, PivotRecord } from '../../domain/pivots/series.ts';
import type { PivotState, Verdict } from '../../domain/pivots/state.ts';
import type { Trend } from '../../domain/pivots/trend.ts';
import { isRefused } from '../../domain/pivots/trend.ts';
import { sideOf } from '../../domain/pivots/frame-patterns.ts';
import type { PivotKind, Side } from '../../domain/pivots/frame-patterns.ts';
import type { LastReading } from '../../store/visits/last-reading-rows.ts';
import { lastReadings } from '../../store/visits/last-reading-rows.ts';
import { readPivots } from '../../store/visits/reading-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { FrameRecord } from './frame-record.ts';
import { frameRecord } from './frame-record.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { ownTop } from '../own/top-records.ts';
import { wearPriorOf } from '../own/wear-priors.ts';

export interface PlayRecord {
  readonly doneOn: Day;
  readonly method: Method;
  readonly mm: number;
}

export interface PivotReportRecord {
  readonly code: string;
  readonly side: Side;
  readonly kind: PivotKind;
  readonly washersExpected: number;
  readonly lastReading: (Omit<LastReading, 'state'> & { readonly state: PivotState }) | null;
  readonly repairedOn: Day | null;
  /** Play since the last repair, which is what is judged; earlier tops of the car included. */
  readonly series: PlayRecord[];
  /** Play before that repair. */
  readonly earlierSeries: PlayRecord[];
  /** In mm and years since the first reading of its method; null where there is too little. */
  readonly trend: (Trend & { readonly method: Method }) | null;
  /** Why no day is projected, in words; null where one is, or nothing was measured. */
  readonly missing: string | null;
  readonly verdict: Verdict;
  readonly because: string[];
  /** The method that the days are of: the one whose readings are worst, then the soonest to be so. */
  readonly method: Method | null;
  /** Its limits in mm; null where nothing was measured. */
  readonly limits: Limits | null;
  readonly planOn: Projection | null;
  readonly actOn: Projection | null;
  readonly measureAgainMonths: number | null;
  readonly measureAgainOn: Day | null;
  readonly sentence: string;
}

export interface TopPivotsRecord {
  /** The day that the answer is about: today, or the day on which the top was retired. */
  readonly on: Day;
  readonly verdict: Verdict;
  readonly items: PivotReportRecord[];
  readonly frame: FrameRecord;
}

/**
 * What the readings at every pivot of a top say, and those of its frame. Pivots outlive the top, so
 * their whole history on the car counts. A fixed number of queries, however long the history is.
 */
export async function readTopPivots(
  context: Context,
  caller: Caller,
  topId: string,
): Promise<TopPivotsRecord> {
  const { sql } = context.store;
  const top = await ownTop(sql, caller, topId);
  const own = await ownFiguresOf(sql, caller.organisationId);
  const on = top.retiredOn ?? dayIn(top.timeZone, context.now());
  const known = await readPivots(sql, caller.organisationId, [top.carId]);
  const pivots = known.filter(({ since, retiredOn }) =>
    top.retiredOn === null
      ? retiredOn === null
      : since <= top.retiredOn && (retiredOn === null || retiredOn > top.fittedOn),
  );
  const records = pivots.map(({ record }) => record);
  const { carId, framePattern } = top;
  const figures = figuresFor('pivots', own);
  const wear = { carId, framePattern, records };
  const reports = pivotReports(records, {
    today: on,
    figures,
    priorOf: await wearPriorOf(sql, caller.organisationId, wear, { today: on, own }),
  });
  const last = await lastReadings(sql, top.carId, on);
  return {
    on,
    verdict: reports.verdict,
    items: pivots.flatMap(({ id, record }, i) => {
      const report = reports.pivots[i];
      return report === undefined ? [] : [recordOf(record, report, last.get(id) ?? null, figures)];
    }),
    frame: await frameRecord(sql, top, on, {
      gaps: reports.gaps,
      records,
      figures: figuresFor('frame', own),
    }),
  };
}

function recordOf(
  record: PivotRecord,
  report: PivotReport,
  last: LastReading | null,
  figures: PivotFigures,
): PivotReportRecord {
  const { code, kind, washersExpected } = record;
  const lead = report.series.find(({ method }) => method === report.method);
  const standing = report.series.flatMap(({ method, readings }) =>
    readings.map(({ doneOn, mm }) => ({ doneOn, method, mm })),
  );
  const line = report.trend;
  const { verdict, because, planOn, actOn, repairedOn, sentence } = report;
  const { measureAgainMonths, measureAgainOn } = report;
  return {
    code,
    side: sideOf(code),
    kind,
    washersExpected,
    lastReading: last === null ? null : { ...last, state: last.state as PivotState },
    repairedOn,
    series: standing.sort(byDay),
    earlierSeries: record.readings
      .filter((reading) => repairedOn !== null && reading.doneOn <= repairedOn)
      .map(({ doneOn, method, mm }) => ({ doneOn, method, mm })),
    trend:
      line === null || isRefused(line) || report.method === null
        ? null
        : { ...line, method: report.method },
    missing: lead?.missing ?? null,
    verdict,
    because: [...because],
    method: report.method,
    limits: report.method === null ? null : limitsOf(record, report.method, figures),
    planOn,
    actOn,
    measureAgainMonths,
    measureAgainOn,
    sentence,
  };
}

function byDay(a: PlayRecord, b: PlayRecord): number {
  return a.doneOn < b.doneOn ? -1 : a.doneOn > b.doneOn ? 1 : 0;
}
