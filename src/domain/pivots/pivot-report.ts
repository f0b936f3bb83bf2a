import { daysBetween } from '../calendar/day.ts';
import type { Day } from '../calendar/day.ts';
import { valuesOf } from '../figures/figure.ts';
import { PIVOT_FIGURES } from './figures.ts';
import type { WearPrior } from '../statistics/wear-rate.ts';
import type { PivotFigures } from './figures.ts';
import { judgeSeries, leads, limitsOf } from './judged-series.ts';
import type { JudgedSeries } from './judged-series.ts';
import { pivotSentence } from './pivot-sentence.ts';
import type { Projection, SeriesReport } from './projection.ts';
import type { PivotKind } from './frame-patterns.ts';
import { METHODS, standing } from './series.ts';
import type { Method, PivotRecord } from './series.ts';
import { stateSigns, washerSigns } from './signs.ts';
import { VERDICTS, worstOf } from './state.ts';
import type { Verdict } from './state.ts';
import type { Trend, TrendRefused } from './trend.ts';

export type PriorOf = (kind: PivotKind, method: Method) => WearPrior | undefined;

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
    judgeSeries(record, now, method, today, figures, context.priorOf?.(record.kind, method)),
  );
  const leading = judged.reduce<JudgedSeries | null>(
    (first, other) => (first === null || leads(other, first) ? other : first),
    null,
  );
  const signs = [
    ...stateSigns(now),
    ...washerSigns(record, now, context.sideMissing, figures),
    ...judged.flatMap((series) => series.signs),
  ].sort((a, b) => VERDICTS.indexOf(b.verdict) - VERDICTS.indexOf(a.verdict));
  const verdict = worstOf(...signs.map((sign) => sign.verdict));
  const lead = leading?.report ?? null;
  const measureAgainMonths = monthsToNext(verdict, lead, today, figures);
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
    repairedOn: now.repairedOn,
    sentence: pivotSentence({
      code: record.code,
      verdict,
      signs,
      lead,
      limits: lead === null ? null : limitsOf(record, lead.method, figures),
      measureAgainMonths,
      repairedOn: now.repairedOn,
      today,
    }),
  };
}

function monthsToNext(
  verdict: Verdict,
  lead: SeriesReport | null,
  today: Day,
  figures: PivotFigures,
): number | null {
  if (verdict === 'act') return null;
  const next = lead?.planOn ?? lead?.actOn;
  if (!next) return figures.remeasureMonths;
  if (next.likely <= today) return 0;
  const months = Math.ceil((daysBetween(today, next.likely) / 30.44) * figures.remeasureShare);
  return Math.min(Math.max(months, 1), figures.remeasureMonths);
}
