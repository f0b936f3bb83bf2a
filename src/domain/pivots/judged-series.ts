import type { Day } from '../calendar/day.ts';
import type { PivotFigures } from './figures.ts';
import { hasMetUnseen, projectSeries } from './projection.ts';
import type { KnownSeries, Limits, SeriesReport } from './projection.ts';
import { METHODS } from './series.ts';
import type { Method, PivotRecord, Standing } from './series.ts';
import type { Sign } from './signs.ts';
import { atLeast, verdictOver } from './state.ts';
import type { Verdict } from './state.ts';
import type { PriorOf } from './wear-pool.ts';

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
  priorOf?: PriorOf,
): JudgedSeries[] {
  const known = knownSeries(record, now, method, figures);
  if (known === null) return [];
  const { verdict, because } = judgeLast(record, known, figures);
  const signs: Sign[] = [{ verdict, because, from: 'reading' }];
  const report = projectSeries(known, today, figures, () => priorOf?.(record.kind, method));
  const next = report.planOn ?? report.actOn;
  if (next !== null && next.likely <= today) {
    const passed = `the ${method} line should have passed the next limit by now: measure`;
    signs.push({ verdict: UNSEEN, because: passed, from: 'trend' });
  }
  if ('p' in report.trend && report.missing === null && report.trend.p > 1 - figures.confidence) {
    const chance = `so few ${method} readings do not rule out chance (p = ${report.trend.p.toFixed(2)})`;
    signs.push({ verdict: 'good', because: chance, from: 'trend' });
  }
  return [{ report, verdict, signs }];
}

/** The verdicts of all methods alone: the same as those of the signs, without working out any day. */
export function seriesVerdicts(
  record: PivotRecord,
  now: Standing,
  today: Day,
  figures: PivotFigures,
  priorOf?: PriorOf,
): Verdict[] {
  return METHODS.flatMap((method) => {
    const known = knownSeries(record, now, method, figures);
    if (known === null) return [];
    const { verdict } = judgeLast(record, known, figures);
    if (atLeast(verdict, UNSEEN)) return [verdict];
    const met = hasMetUnseen(known, today, figures, () => priorOf?.(record.kind, method));
    return [met ? UNSEEN : verdict];
  });
}

/** A limit that was met by reckoning alone asks for a reading, no more. */
const UNSEEN: Verdict = 'watch';

/**
 * The readings of a method since the last repair; null where there are none. A visit that counted all
 * washers and measured no gap has seen that the gap is under a washer's thickness, for a wider one is
 * what a missing washer leaves. A joint that was looked at and not measured tells nothing else of play.
 */
function knownSeries(
  record: PivotRecord,
  now: Standing,
  method: Method,
  figures: PivotFigures,
): KnownSeries | null {
  const readings = now.readings
    .filter((reading) => reading.method === method)
    .map(({ doneOn, mm }) => ({ doneOn, mm }));
  if (readings.length === 0) return null;
  const limits = limitsOf(record, method, figures);
  if (method !== 'axial' || record.washersExpected === 0) return { method, readings, limits };
  const measured = new Set(readings.map(({ doneOn }) => doneOn));
  const seenUnder = now.washers
    .filter(({ doneOn, present }) => present >= record.washersExpected && !measured.has(doneOn))
    .map(({ doneOn }) => ({ doneOn, mm: figures.washerThickness }));
  return { method, readings, limits, seenUnder };
}

function judgeLast(
  record: PivotRecord,
  { method, readings, limits }: KnownSeries,
  figures: PivotFigures,
): { readonly verdict: Verdict; readonly because: string } {
  const last = readings.at(-1) ?? { doneOn: '', mm: 0 };
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
  return {
    verdict,
    because: `${last.mm.toFixed(2)} mm ${method} on ${last.doneOn}${gone}: ${verdict}`,
  };
}

/** Whether `a` is the more urgent series: worse now, else sooner at its limit, else longer. */
export function leads(a: JudgedSeries, b: JudgedSeries): boolean {
  if (a.verdict !== b.verdict) return atLeast(a.verdict, b.verdict);
  const day = ({ report }: JudgedSeries) => (report.planOn ?? report.actOn)?.likely ?? '9999';
  if (day(a) !== day(b)) return day(a) < day(b);
  return a.report.readings.length > b.report.readings.length;
}
