import { addDays } from '../calendar/day.ts';
import type { Day } from '../calendar/day.ts';
import type { PivotFigures } from './figures.ts';
import { daysIn, yearsBetween } from './series.ts';
import type { Method } from './series.ts';
import { pointsOf } from './points.ts';
import { isRefused, tooFew, trend } from './trend.ts';
import type { Trend, TrendRefused } from './trend.ts';

/** When a series meets a limit. No day lies before the day of the report. */
export interface Projection {
  readonly likely: Day;
  readonly earliest: Day;
  /** Null where the readings allow that it is never met, or not within the horizon. */
  readonly latest: Day | null;
}

/** The readings of one method since the last repair, and where they lead. */
export interface SeriesReport {
  readonly method: Method;
  /** Oldest first. */
  readonly readings: readonly { readonly doneOn: Day; readonly mm: number }[];
  /** In mm and years since the first reading. */
  readonly trend: Trend | TrendRefused;
  /** Why no day is projected, in words; null where days are. */
  readonly missing: string | null;
  /** Null where nothing is projected, or the limit is passed already or not met in the horizon. */
  readonly planOn: Projection | null;
  readonly actOn: Projection | null;
}

/** Limits in mm; null where the method has none for this kind of pivot. */
export interface Limits {
  readonly planOver: number | null;
  readonly actOver: number;
}

/** Readings are typed in hundredths: a rise of 0.1 is 0.1, whatever its last binary digit. */
const TYPED = 1e-9;

/**
 * Fits the line and projects it. Nothing is projected under the fewest readings, while the rise
 * from first to last reading is below the noise floor, or where the line does not rise.
 */
export function projectSeries(
  method: Method,
  readings: SeriesReport['readings'],
  limits: Limits,
  today: Day,
  figures: PivotFigures,
): SeriesReport {
  const start = readings[0]?.doneOn ?? today;
  const points = readings.map(({ doneOn, mm }) => ({ x: yearsBetween(start, doneOn), y: mm }));
  const line = trend({ readings: points, confidence: figures.confidence });
  const missing = whyNot(method, readings, line, figures);
  const base = { method, readings, trend: line, missing, planOn: null, actOn: null };
  if (missing !== null || isRefused(line)) return base;
  const through = pointsOf(
    points.map(({ x }) => x),
    points.map(({ y }) => y),
  );
  const spread = repeatability(method, figures) / line.slope;
  const last = readings.at(-1)?.mm ?? 0;
  const meets = (limit: number | null): Projection | null => {
    if (limit === null || last > limit) return null;
    // Every line of the interval goes through the point of the medians, as the fitted one does.
    const at = (slope: number) => through.xMedian + (limit - through.yMedian) / slope;
    const likely = at(line.slope);
    const open = line.low <= 0;
    const ends = [at(line.high), likely - spread, likely + spread, ...(open ? [] : [at(line.low)])];
    const horizon = yearsBetween(start, today) + figures.horizonYears;
    if (likely > horizon) return null;
    const latest = Math.max(...ends);
    const dayAt = (years: number) => notBefore(today, addDays(start, daysIn(Math.max(years, 0))));
    return {
      likely: dayAt(likely),
      earliest: dayAt(Math.min(...ends)),
      latest: open || latest > horizon ? null : dayAt(latest),
    };
  };
  return { ...base, planOn: meets(limits.planOver), actOn: meets(limits.actOver) };
}

/** What a method repeats to, in mm. */
export function repeatability(method: Method, figures: PivotFigures): number {
  return method === 'axial' ? figures.axialRepeatability : figures.radialRepeatability;
}

function whyNot(
  method: Method,
  readings: SeriesReport['readings'],
  line: Trend | TrendRefused,
  figures: PivotFigures,
): string | null {
  if (readings.length < figures.leastReadings) {
    return tooFew(readings.length, figures.leastReadings);
  }
  if (isRefused(line)) return line.refused;
  const rise = (readings.at(-1)?.mm ?? 0) - (readings[0]?.mm ?? 0);
  const error = repeatability(method, figures);
  if (rise < figures.noiseFloor * error - TYPED) {
    const floor = (figures.noiseFloor * error).toFixed(2);
    return rise > 0
      ? `a rise of ${rise.toFixed(2)} mm is not told from reading error below ${floor} mm`
      : 'no rise from the first reading to the last';
  }
  return line.slope > 0 ? null : 'the readings as a whole do not rise';
}

function notBefore(first: Day, day: Day): Day {
  return day < first ? first : day;
}
