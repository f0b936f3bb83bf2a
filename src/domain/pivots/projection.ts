import { addDays } from '../calendar/day.ts';
import type { Day } from '../calendar/day.ts';
import { crossingTimes, wearPosterior, wearPrior } from '../statistics/wear-rate.ts';
import type { WearPrior } from '../statistics/wear-rate.ts';
import type { PivotFigures } from './figures.ts';
import { daysIn, yearsBetween } from './series.ts';
import type { Method } from './series.ts';
import { isRefused, tooFew, trend } from './trend.ts';
import type { Trend, TrendRefused } from './trend.ts';

/** When a series meets a limit, with a 90 % interval. No day lies before the day of the report. */
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
  /** Joints of other cars that the days below draw on; 0 where the shop rule stands in for them. */
  readonly pooled: number;
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

/** Chances before which the play has met a limit: the ends of a 90 % interval and its middle. */
const SHARES = [0.05, 0.5, 0.95] as const;

/**
 * Fits Sen's line, the plain check, and estimates the days from the readings and the prior, which
 * holds what other cars tell (the shop rule alone where it is left out). Nothing is projected under
 * the fewest readings, while the rise from first to last reading is below the noise floor, or
 * where the line does not rise. That a limit was not met at the last reading is taken as told.
 */
export function projectSeries(
  method: Method,
  readings: SeriesReport['readings'],
  limits: Limits,
  today: Day,
  figures: PivotFigures,
  prior: WearPrior = shopPrior(method, figures),
): SeriesReport {
  const start = readings[0]?.doneOn ?? today;
  const points = readings.map(({ doneOn, mm }) => ({ x: yearsBetween(start, doneOn), y: mm }));
  const line = trend({ readings: points, confidence: figures.confidence });
  const missing = whyNot(method, readings, line, figures);
  const { pooled } = prior;
  const base = { method, readings, trend: line, missing, pooled, planOn: null, actOn: null };
  if (missing !== null || isRefused(line)) return base;
  const posterior = wearPosterior(points, prior);
  const last = points.at(-1) ?? { x: 0, y: 0 };
  const horizon = yearsBetween(start, today) + figures.horizonYears;
  const dayAt = (years: number) => notBefore(today, addDays(start, daysIn(years)));
  const meets = (limit: number | null): Projection | null => {
    if (limit === null || last.y > limit) return null;
    const reach = Math.max(horizon - last.x, 0) + 1;
    const times = crossingTimes(posterior, limit, last.x, SHARES, reach);
    const [earliest = Infinity, likely = Infinity, latest = Infinity] = times;
    if (likely > horizon) return null;
    return {
      likely: dayAt(likely),
      earliest: dayAt(earliest),
      latest: latest > horizon ? null : dayAt(latest),
    };
  };
  return { ...base, planOn: meets(limits.planOver), actOn: meets(limits.actOver) };
}

const shopPriors = new Map<string, WearPrior>();

/** What is believed of a method's wear where no other car tells. Kept, since it rests on figures alone. */
function shopPrior(method: Method, figures: PivotFigures): WearPrior {
  const { wearRate, wearRateSpread } = figures;
  const key = [wearRate, wearRateSpread, repeatability(method, figures)].join();
  const kept = shopPriors.get(key) ?? poolOf([], method, figures);
  if (shopPriors.size > 50) shopPriors.clear();
  shopPriors.set(key, kept);
  return kept;
}

/** Fits the prior of a method from the readings of other joints of one kind and pattern. */
export function poolOf(
  others: readonly SeriesReport['readings'][],
  method: Method,
  figures: PivotFigures,
): WearPrior {
  const series = others.map((readings) =>
    readings.map(({ doneOn, mm }) => ({
      x: yearsBetween(readings[0]?.doneOn ?? doneOn, doneOn),
      y: mm,
    })),
  );
  return wearPrior(series, {
    middleRate: figures.wearRate,
    middleSpread: figures.wearRateSpread,
    readingError: repeatability(method, figures),
  });
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
