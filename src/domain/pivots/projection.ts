import { addDays } from '../calendar/day.ts';
import type { Day } from '../calendar/day.ts';
import { chanceMetBy, crossing, wearPool, wearPosterior } from '../statistics/wear-rate.ts';
import type { WearBelief, WearPosterior, WearPrior, WearSeries } from '../statistics/wear-rate.ts';
import type { PivotFigures } from './figures.ts';
import { daysIn, yearsBetween } from './series.ts';
import type { Method } from './series.ts';
import { isRefused, tooFew, trend } from './trend.ts';
import type { Trend, TrendRefused } from './trend.ts';

/** When a series meets a limit, with a 90 % interval. No day lies before the day of the report. */
export interface Projection {
  readonly likely: Day;
  /** The day of the report where the limit may be met unseen already. */
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

/** What is known of a joint by one method before the prior is added. */
export interface KnownSeries {
  readonly method: Method;
  /** Oldest first. */
  readonly readings: SeriesReport['readings'];
  readonly limits: Limits;
  /** Days on which play was not measured, but seen to be under a width in mm. */
  readonly seenUnder?: readonly { readonly doneOn: Day; readonly mm: number }[] | undefined;
}

/** What other cars tell, asked for only where there is something to add it to. */
export type PriorAsked = () => WearPrior | undefined;

interface Estimate {
  readonly line: Trend | TrendRefused;
  readonly missing: string | null;
  readonly prior: WearPrior | null;
  readonly posterior: WearPosterior | null;
  readonly start: Day;
}

/**
 * Fits Sen's line, the plain check, and estimates the days from the readings and the prior, which
 * holds what other cars tell (the shop rule alone where nothing is told). Nothing is projected under
 * the fewest readings, while the rise from first to last reading is below the noise floor, or
 * where the line does not rise.
 */
export function projectSeries(
  known: KnownSeries,
  today: Day,
  figures: PivotFigures,
  asked: PriorAsked = () => undefined,
): SeriesReport {
  const { method, readings, limits } = known;
  const { line, missing, prior, posterior, start } = estimate(known, today, figures, asked);
  const pooled = prior?.pooled ?? 0;
  const base = { method, readings, trend: line, missing, pooled, planOn: null, actOn: null };
  if (posterior === null) return base;
  // Days have passed since the last reading: what may be met unseen is reckoned to the day of the report.
  const now = yearsBetween(start, today);
  const dayAt = (years: number) => notBefore(today, addDays(start, daysIn(years)));
  const meets = (limit: number | null): Projection | null => {
    if (limit === null || isPast(readings, limit)) return null;
    const { earliest, likely, latest } = crossing(posterior, limit, now, figures.horizonYears);
    if (likely === Infinity) return null;
    return {
      likely: dayAt(likely),
      earliest: dayAt(earliest),
      latest: latest === Infinity ? null : dayAt(latest),
    };
  };
  return { ...base, planOn: meets(limits.planOver), actOn: meets(limits.actOver) };
}

/** Whether a series has rather met its next limit by `today` than not, though no reading says so. */
export function hasMetUnseen(
  known: KnownSeries,
  today: Day,
  figures: PivotFigures,
  asked: PriorAsked = () => undefined,
): boolean {
  const { readings, limits } = known;
  const next = [limits.planOver, limits.actOver].find(
    (limit) => limit !== null && !isPast(readings, limit),
  );
  if (next == null) return false;
  const { posterior, start } = estimate(known, today, figures, asked);
  return posterior !== null && chanceMetBy(posterior, next, yearsBetween(start, today)) >= 0.5;
}

function estimate(
  { method, readings, seenUnder = [] }: KnownSeries,
  today: Day,
  figures: PivotFigures,
  asked: PriorAsked,
): Estimate {
  const start = readings[0]?.doneOn ?? today;
  const points = yearsOf(readings);
  const line = trend({ readings: points, confidence: figures.confidence });
  const missing = whyNot(method, readings, line, figures);
  if (missing !== null) return { line, missing, prior: null, posterior: null, start };
  const prior = asked() ?? shopPrior(method, figures);
  const seen = seenUnder.map(({ doneOn, mm }) => ({ x: yearsBetween(start, doneOn), limit: mm }));
  return { line, missing, prior, posterior: wearPosterior(points, prior, seen), start };
}

function isPast(readings: SeriesReport['readings'], limit: number): boolean {
  return (readings.at(-1)?.mm ?? 0) > limit;
}

/** Readings as years since the first of them. */
export function yearsOf(readings: SeriesReport['readings']): WearSeries {
  const start = readings[0]?.doneOn;
  return readings.map(({ doneOn, mm }) => ({ x: yearsBetween(start ?? doneOn, doneOn), y: mm }));
}

/** What is believed of a method's wear before any car tells. */
export function beliefIn(method: Method, figures: PivotFigures): WearBelief {
  const { wearRate, wearRateSpread } = figures;
  return {
    middleRate: wearRate,
    middleSpread: wearRateSpread,
    readingError: repeatability(method, figures),
  };
}

const shopPriors = new Map<string, WearPrior>();

/** The prior where no other car tells. Kept, since it rests on figures alone. */
function shopPrior(method: Method, figures: PivotFigures): WearPrior {
  const belief = beliefIn(method, figures);
  const key = Object.values(belief).join();
  const kept = shopPriors.get(key) ?? wearPool([], belief)();
  if (shopPriors.size > 50) shopPriors.clear();
  shopPriors.set(key, kept);
  return kept;
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
    return tooFew(readings.length, figures.leastReadings, 'a day');
  }
  const [only] = readings;
  if (only !== undefined && readings.every(({ doneOn }) => doneOn === only.doneOn)) {
    return 'all readings were taken at the same time: one at another is missing';
  }
  // Of two readings Sen's line says nothing; whether they rise, the sum below does.
  if (isRefused(line) && readings.length > 2) return line.refused;
  const rise = (readings.at(-1)?.mm ?? 0) - (readings[0]?.mm ?? 0);
  const error = repeatability(method, figures);
  if (rise < figures.noiseFloor * error - TYPED) {
    const floor = (figures.noiseFloor * error).toFixed(2);
    return rise > 0
      ? `a rise of ${rise.toFixed(2)} mm is not told from reading error below ${floor} mm`
      : 'no rise from the first reading to the last';
  }
  return isRefused(line) || line.slope > 0 ? null : 'the readings as a whole do not rise';
}

function notBefore(first: Day, day: Day): Day {
  return day < first ? first : day;
}
