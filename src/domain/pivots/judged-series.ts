import type { Day } from '../calendar/day.ts';
import type { WearPrior } from '../statistics/wear-rate.ts';
import type { PivotFigures } from './figures.ts';
import { projectSeries } from './projection.ts';
import type { Limits, SeriesReport } from './projection.ts';
import type { Method, PivotRecord, Standing } from './series.ts';
import type { Sign } from './signs.ts';
import { atLeast, verdictOver } from './state.ts';
import type { Verdict } from './state.ts';

/** The readings of one method with the verdict on the last of them. */
export interface JudgedSeries {
  readonly report: SeriesReport;
  readonly verdict: Verdict;
  readonly signs: readonly Sign[];
}

/** The limits of a method at a kind of pivot; a ram has its maker's one limit for the gap. */
export function limitsOf(record: PivotRecord, method: Method, figures: PivotFigures): Limits {
  if (method === 'radial') {
    return { planOver: figures.radialPlanOver, actOver: figures.radialActOver };
  }
  if (record.kind === 'ram') return { planOver: null, actOver: figures.ramActOver };
  return { planOver: figures.axialPlanOver, actOver: figures.axialActOver };
}

/** One entry where the method has readings since the last repair, none otherwise. */
export function judgeSeries(
  record: PivotRecord,
  now: Standing,
  method: Method,
  today: Day,
  figures: PivotFigures,
  prior?: WearPrior,
): JudgedSeries[] {
  const readings = now.readings
    .filter((reading) => reading.method === method)
    .map(({ doneOn, mm }) => ({ doneOn, mm }));
  const last = readings.at(-1);
  if (!last) return [];
  const limits = limitsOf(record, method, figures);
  const watchOver = method === 'axial' ? figures.axialWatchOver : figures.radialWatchOver;
  const { planOver, actOver } = limits;
  const sized =
    planOver === null
      ? verdictOver(last.mm, actOver, actOver, actOver)
      : verdictOver(last.mm, watchOver, planOver, actOver);
  const washerGone =
    method === 'axial' && record.washersExpected > 0 && last.mm >= figures.washerThickness;
  const verdict = washerGone ? 'act' : sized;
  const gone = washerGone ? ', as wide as a washer is thick: the washer is gone' : '';
  const because = `${last.mm.toFixed(2)} mm ${method} on ${last.doneOn}${gone}: ${verdict}`;
  const signs: Sign[] = [{ verdict, because, from: 'reading' }];
  const report = projectSeries(method, readings, limits, today, figures, prior);
  const next = report.planOn ?? report.actOn;
  if (next !== null && next.likely <= today) {
    const passed = `the ${method} line should have passed the next limit by now: measure`;
    signs.push({ verdict: 'watch', because: passed, from: 'trend' });
  }
  if ('p' in report.trend && report.missing === null && report.trend.p > 1 - figures.confidence) {
    const chance = `so few ${method} readings do not rule out chance (p = ${report.trend.p.toFixed(2)})`;
    signs.push({ verdict: 'good', because: chance, from: 'trend' });
  }
  return [{ report, verdict, signs }];
}

/** Whether `a` is the more urgent series: worse now, else sooner at its limit, else longer. */
export function leads(a: JudgedSeries, b: JudgedSeries): boolean {
  if (a.verdict !== b.verdict) return atLeast(a.verdict, b.verdict);
  const day = ({ report }: JudgedSeries) => (report.planOn ?? report.actOn)?.likely ?? '9999';
  if (day(a) !== day(b)) return day(a) < day(b);
  return a.report.readings.length > b.report.readings.length;
}
