import { addMonths, daysBetween } from '../calendar/day.ts';
import type { Day } from '../calendar/day.ts';
import { valuesOf } from '../figures/figure.ts';
import { PIVOT_FIGURES } from './figures.ts';
import type { PivotFigures } from './figures.ts';
import { judgeSeries, leads, limitsOf, seriesVerdicts } from './judged-series.ts';
import type { JudgedSeries } from './judged-series.ts';
import { pivotSentence } from './pivot-sentence.ts';
import type { Projection, SeriesReport } from './projection.ts';
import { METHODS, standing } from './series.ts';
import type { Method, PivotRecord, Standing } from './series.ts';
import { stateSigns, washerSigns } from './signs.ts';
import { VERDICTS, worstOf } from './state.ts';
import type { Verdict } from './state.ts';
import type { Trend, TrendRefused } from './trend.ts';
import type { PriorOf } from './wear-pool.ts';

export interface PivotReport {
  readonly code: string;
  readonly verdict: Verdict;
  /** One line a sign, the worst first. */
  readonly because: readonly string[];
  /** One entry for each method with readings since the last repair. */
  readonly series: readonly SeriesReport[];
  /** The method that leads below: the one whose readings are worst, then the soonest to be so. */
  readonly method: Method | null;
  readonly trend: Trend | TrendRefused | null;
  readonly planOn: Projection | null;
  readonly actOn: Projection | null;
  /** Months until the next measurement; 0 is now, null that it is to be repaired and not measured. */
  readonly measureAgainMonths: number | null;
  /** The day of it, counted from the last reading; null where none is, or it is to be repaired. */
  readonly measureAgainOn: Day | null;
  readonly repairedOn: Day | null;
  readonly sentence: string;
}

/**
 * What the record of one pivot says on a day. State words, missing washers and readings are judged
 * apart and the worst wins; `sideMissing` is the number of washers missing on its whole side (its
 * own where left out). Throws RangeError on impossible records (see `standing`).
 */
export function pivotReport(
  record: PivotRecord,
  context: {
    readonly today: Day;
    readonly sideMissing?: number | undefined;
    readonly figures?: PivotFigures | undefined;
    /** What other cars tell of this joint's wear by a method; undefined: the shop rule. */
    readonly priorOf?: PriorOf | undefined;
  },
): PivotReport {
  const { today, figures = valuesOf(PIVOT_FIGURES) } = context;
  const now = standing(record, today);
  const judged = METHODS.flatMap((method) =>
    judgeSeries(record, now, method, today, figures, context.priorOf),
  );
  const leading = judged.reduce<JudgedSeries | null>(
    (first, other) => (first === null || leads(other, first) ? other : first),
    null,
  );
  const signs = [
    ...foundSigns(record, now, context.sideMissing, figures),
    ...judged.flatMap((series) => series.signs),
  ].sort((a, b) => VERDICTS.indexOf(b.verdict) - VERDICTS.indexOf(a.verdict));
  const verdict = worstOf(...signs.map((sign) => sign.verdict));
  const lead = leading?.report ?? null;
  const measureAgainOn = nextMeasurement(verdict, lead, today, figures);
  const measureAgainMonths = monthsUntil(verdict, measureAgainOn, today, figures);
  return {
    code: record.code,
    verdict,
    because: signs.length > 0 ? signs.map((sign) => sign.because) : ['nothing recorded yet'],
    series: judged.map(({ report }) => report),
    method: lead?.method ?? null,
    trend: lead?.trend ?? null,
    planOn: lead?.planOn ?? null,
    actOn: lead?.actOn ?? null,
    measureAgainMonths,
    measureAgainOn,
    repairedOn: now.repairedOn,
    sentence: pivotSentence({
      code: record.code,
      verdict,
      signs,
      lead,
      limits: lead === null ? null : limitsOf(record, lead.method, figures),
      measureAgainMonths,
      measureAgainOn,
      repairedOn: now.repairedOn,
      today,
    }),
  };
}

/** The verdict of `pivotReport` alone, at a small part of its cost. */
export function pivotVerdict(
  record: PivotRecord,
  context: {
    readonly today: Day;
    readonly sideMissing: number;
    readonly figures: PivotFigures;
    readonly priorOf?: PriorOf | undefined;
  },
): Verdict {
  const { today, figures } = context;
  const now = standing(record, today);
  return worstOf(
    ...foundSigns(record, now, context.sideMissing, figures).map(({ verdict }) => verdict),
    ...seriesVerdicts(record, now, today, figures, context.priorOf),
  );
}

function foundSigns(
  record: PivotRecord,
  now: Standing,
  sideMissing: number | undefined,
  figures: PivotFigures,
) {
  return [...stateSigns(now), ...washerSigns(record, now, sideMissing, figures)];
}

/**
 * A share of the way from the last reading to the likely day, sooner where the limit may be met soon,
 * and at the latest with the yearly look. Today where it may be met by now.
 */
function nextMeasurement(
  verdict: Verdict,
  lead: SeriesReport | null,
  today: Day,
  figures: PivotFigures,
): Day | null {
  const last = lead?.readings.at(-1)?.doneOn;
  if (verdict === 'act' || last === undefined) return null;
  const next = lead?.planOn ?? lead?.actOn ?? null;
  if (next === null) return addMonths(last, figures.remeasureMonths);
  if (next.likely <= today) return today;
  const share = Math.ceil((daysBetween(last, next.likely) / 30.44) * figures.remeasureShare);
  const soon = next.earliest <= addMonths(last, figures.remeasureSoonMonths);
  const most = soon ? figures.remeasureSoonMonths : figures.remeasureMonths;
  return addMonths(last, Math.min(Math.max(share, 1), most));
}

function monthsUntil(
  verdict: Verdict,
  on: Day | null,
  today: Day,
  figures: PivotFigures,
): number | null {
  if (verdict === 'act') return null;
  if (on === null) return figures.remeasureMonths;
  // Half a month either way is the same month to whoever plans it.
  return on <= today ? 0 : Math.max(1, Math.round(daysBetween(today, on) / 30.44));
}
