/** Readings of one joint by one method: years since any fixed day, and mm. */
export type WearSeries = readonly { readonly x: number; readonly y: number }[];

/** What is believed of wear before the joint itself is heard. */
export interface WearBelief {
  /** Rate of the middle joint, in mm a year, and how far that may be off (log scale). */
  readonly middleRate: number;
  readonly middleSpread: number;
  /** Standard error of one reading, in mm, where nothing else is known. */
  readonly readingError: number;
}

/** The belief after the pool: density of log rate by reading error, and how many series spoke. */
export interface WearPrior {
  readonly errors: readonly number[];
  /** `density[e][i]` at error e and log rate `LOW + i * STEP`; sums to one over all. */
  readonly density: readonly (readonly number[])[];
  readonly pooled: number;
}

const LOW = Math.log(0.002);
const STEP = 0.08;
const RATES = 89;
/** Joints of one kind differ by a factor of e to the power of these, one of them to be found. */
const SPREADS = [0.1, 0.2, 0.35, 0.5, 0.7, 0.9, 1.2];
const SPREAD_CHANCES = [0.05, 0.1, 0.2, 0.24, 0.2, 0.13, 0.08];
/** A reading errs by these shares of what its method is said to; their chances before any pool. */
const ERRORS = [0.5, 0.75, 1, 1.4, 2];
const ERROR_CHANCES = [0.1, 0.22, 0.36, 0.24, 0.08];
const MIDDLES = 11;
const FINE = 96;
const FORGET = 1e-7;

/** What the readings of one series say of its line: least squares, free of where it starts. */
function lineOf(series: WearSeries) {
  const n = series.length;
  const mean = (of: (at: WearSeries[number]) => number) =>
    series.reduce((sum, at) => sum + of(at), 0) / n;
  const x = mean((at) => at.x);
  const y = mean((at) => at.y);
  const sxx = series.reduce((sum, at) => sum + (at.x - x) ** 2, 0);
  const sxy = series.reduce((sum, at) => sum + (at.x - x) * (at.y - y), 0);
  const slope = sxx > 0 ? sxy / sxx : 0;
  const left = series.reduce((sum, at) => sum + (at.y - y - slope * (at.x - x)) ** 2, 0);
  return { n, x, y, sxx, slope, left };
}

type Line = ReturnType<typeof lineOf>;

/** Log likelihood of rate and error, the unknown play at the start taken out under a flat prior. */
function logLikelihood({ n, sxx, slope, left }: Line, rate: number, error: number): number {
  const misfit = left + sxx * (rate - slope) ** 2;
  return -(n - 1) * Math.log(error) - misfit / (2 * error * error);
}

/** A series with the name of what it must not be heard twice with: its car. */
export interface PooledSeries {
  readonly car: string;
  readonly series: WearSeries;
}

/**
 * Pools the series of joints: log rates are normal about a middle and with a spread that are both
 * unknown and found from the pool, rates never negative, reading error common to all. Exact but for
 * its grid (no sampling). Series of fewer than two days say nothing and are left out. The answer
 * gives the prior for the joints of one car, which its own series are taken out of.
 */
export function wearPool(
  pool: readonly PooledSeries[],
  belief: WearBelief,
): (butCar?: string) => WearPrior {
  const errors = ERRORS.map((share) => share * belief.readingError);
  const shapes = shapesOf(belief);
  const start = errors.flatMap((_, e) =>
    shapes.map(({ chance }) => chance + Math.log(ERROR_CHANCES[e]!)),
  );
  const heard = pool.flatMap(({ car, series }) => {
    const line = lineOf(series);
    return line.n > 1 && line.sxx > 0 ? [{ car, logs: logsOf(line, errors, shapes) }] : [];
  });
  const all = Float64Array.from(start);
  for (const { logs } of heard) logs.forEach((log, cell) => (all[cell]! += log));
  return (butCar) => {
    const logs = Float64Array.from(all);
    const own = heard.filter(({ car }) => car === butCar);
    for (const line of own) line.logs.forEach((log, cell) => (logs[cell]! -= log));
    return {
      errors,
      density: densityOf(logs, errors.length, shapes),
      pooled: heard.length - own.length,
    };
  };
}

interface Shape {
  readonly shape: Float64Array;
  readonly chance: number;
}

/** Every middle and spread that rates may have, with its log chance before any series is heard. */
function shapesOf({ middleRate, middleSpread }: WearBelief): Shape[] {
  return SPREADS.flatMap((spread, s) =>
    Array.from({ length: MIDDLES }, (_, i) => {
      const z = ((i - (MIDDLES - 1) / 2) * 6) / (MIDDLES - 1);
      const middle = Math.log(middleRate) + z * middleSpread;
      return { shape: shapeOf(middle, spread), chance: Math.log(SPREAD_CHANCES[s]!) - z * z * 0.5 };
    }),
  );
}

/** Log chance of a line under every error and shape, error by error. */
function logsOf(line: Line, errors: readonly number[], shapes: readonly Shape[]): Float64Array {
  const logs = new Float64Array(errors.length * shapes.length);
  errors.forEach((error, e) => {
    const likely = new Float64Array(RATES);
    let top = -Infinity;
    for (let i = 0; i < RATES; i += 1) {
      likely[i] = logLikelihood(line, Math.exp(LOW + i * STEP), error);
      top = Math.max(top, likely[i]!);
    }
    for (let i = 0; i < RATES; i += 1) likely[i] = Math.exp(likely[i]! - top);
    shapes.forEach(({ shape }, s) => {
      logs[e * shapes.length + s] = top + Math.log(dot(shape, likely) + Number.MIN_VALUE);
    });
  });
  return logs;
}

function densityOf(logs: Float64Array, errors: number, shapes: readonly Shape[]): number[][] {
  const top = logs.reduce((most, log) => Math.max(most, log), -Infinity);
  let total = 0;
  const density = Array.from({ length: errors }, (_, e) => {
    const sum = Array.from({ length: RATES }, () => 0);
    shapes.forEach(({ shape }, s) => {
      const weight = Math.exp(logs[e * shapes.length + s]! - top);
      if (weight > FORGET) shape.forEach((p, i) => (sum[i]! += weight * p));
    });
    total += sum.reduce((all, p) => all + p, 0);
    return sum;
  });
  return density.map((row) => row.map((p) => p / total));
}

function shapeOf(middle: number, spread: number): Float64Array {
  const raw = Float64Array.from({ length: RATES }, (_, i) =>
    Math.exp(-0.5 * ((LOW + i * STEP - middle) / spread) ** 2),
  );
  const total = raw.reduce((sum, p) => sum + p, 0);
  return raw.map((p) => p / total);
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i += 1) sum += a[i]! * b[i]!;
  return sum;
}

/** A day on which play was seen to be under a limit without being measured. */
export interface SeenUnder {
  readonly x: number;
  readonly limit: number;
}

/** The joint as a weighted set of lines; each line's height is normal about its middle. */
export interface WearPosterior {
  readonly cells: readonly {
    readonly weight: number;
    readonly rate: number;
    readonly spread: number;
    /** How far above its middle the height may lie, and the share of the normal that lies under it. */
    readonly cap: number;
    readonly under: number;
  }[];
  readonly x: number;
  readonly y: number;
}

/**
 * Adds the joint's own readings to the prior, and what was seen without measuring: a reading that is
 * censored from above. Throws RangeError where the readings are of one day.
 */
export function wearPosterior(
  series: WearSeries,
  prior: WearPrior,
  seen: readonly SeenUnder[] = [],
): WearPosterior {
  const line = lineOf(series);
  if (line.n < 2 || line.sxx === 0) throw new RangeError('readings of two days are needed');
  const rates = ratesAbout(line, prior);
  const caps = rates.map(({ rate }) =>
    Math.min(...seen.map(({ x, limit }) => limit - line.y - rate * (x - line.x))),
  );
  // A forecast of parts asks for tens of thousands of these, so only what weighs something becomes a cell.
  const logs = new Float64Array(prior.errors.length * FINE);
  const unders = new Float64Array(logs.length);
  let top = -Infinity;
  prior.errors.forEach((error, e) => {
    const spread = error / Math.sqrt(line.n);
    for (let i = 0; i < FINE; i += 1) {
      const cell = e * FINE + i;
      const { at, rate } = rates[i]!;
      // Readings that contradict what was seen leave next to nothing under the cap; never nothing.
      const under = Math.max(below(caps[i]! / spread), 1e-12);
      const log =
        logLikelihood(line, rate, error) +
        Math.log(densityAt(prior.density[e]!, at)) +
        Math.log(under);
      unders[cell] = under;
      logs[cell] = log;
      top = Math.max(top, log);
    }
  });
  const cells: { -readonly [K in keyof WearPosterior['cells'][number]]: number }[] = [];
  let all = 0;
  logs.forEach((log, cell) => {
    const weight = Math.exp(log - top);
    if (!(weight > FORGET)) return;
    all += weight;
    const i = cell % FINE;
    const spread = prior.errors[(cell - i) / FINE]! / Math.sqrt(line.n);
    cells.push({ weight, rate: rates[i]!.rate, spread, cap: caps[i]!, under: unders[cell]! });
  });
  for (const cell of cells) cell.weight /= all;
  return { x: line.x, y: line.y, cells };
}

/** The rates that are looked at, even in their logarithm, about the one that the readings show. */
function ratesAbout({ slope, sxx }: Line, { errors }: WearPrior) {
  const widest = (Math.max(...errors) / Math.sqrt(sxx)) * 5;
  const from = Math.max(LOW, Math.log(Math.max(slope - widest, 0.002)));
  const last = LOW + (RATES - 1) * STEP;
  const to = Math.min(last, Math.log(Math.max(slope + widest, 0.02)));
  return Array.from({ length: FINE }, (_, i) => {
    const at = from + ((to - from) * i) / (FINE - 1);
    return { at, rate: Math.exp(at) };
  });
}

function densityAt(row: readonly number[], logRate: number): number {
  const at = Math.min(Math.max((logRate - LOW) / STEP, 0), RATES - 1);
  const i = Math.min(Math.floor(at), RATES - 2);
  return row[i]! * (i + 1 - at) + row[i + 1]! * (at - i) + Number.MIN_VALUE;
}

/** When play meets a limit, in the years of the series; Infinity where that is beyond the reach. */
export interface Crossing {
  /** Equals the day from which is asked where the limit may be met by then. */
  readonly earliest: number;
  readonly likely: number;
  readonly latest: number;
}

/** The share of a two-sided interval that is left out at each end. */
const TAIL = 0.05;

/**
 * The middle time at which play meets `limit`, and an interval that holds it nine times in ten, not
 * looking back before `from` nor further ahead than `reach` years. An end without a bound leaves nothing
 * out, so the whole tenth is left out at the other: a reading errs, so the limit may be met by `from`
 * unseen, and wear may be so slow that it is not met within the reach. Where both are likelier than a
 * tenth, no interval has less in it than everything.
 */
export function crossing(
  posterior: WearPosterior,
  limit: number,
  from: number,
  reach: number,
): Crossing {
  const met = chanceMetBy(posterior, limit, from);
  const last = chanceMetBy(posterior, limit, from + reach);
  const at = (share: number): number => {
    if (met >= share) return from;
    if (last < share) return Infinity;
    let low = from;
    let high = from + reach;
    while (high - low > 1e-3) {
      const middle = (low + high) / 2;
      if (chanceMetBy(posterior, limit, middle) < share) low = middle;
      else high = middle;
    }
    return high;
  };
  const latest = at(met > TAIL ? 1 - 2 * TAIL : 1 - TAIL);
  return { earliest: at(latest === Infinity ? 2 * TAIL : TAIL), likely: at(0.5), latest };
}

/** The chance that play has met `limit` by a time. */
export function chanceMetBy({ cells, x, y }: WearPosterior, limit: number, time: number): number {
  let sum = 0;
  for (const { weight, rate, spread, cap, under } of cells) {
    const needed = limit - y - rate * (time - x);
    if (needed < cap) sum += weight * (1 - below(needed / spread) / under);
  }
  // The weights sum to one but for the last binary digit.
  return Math.min(sum, 1);
}

/**
 * Standard normal chance below z. Abramowitz & Stegun 26.2.17 (error under 7.5e-8; from memory,
 * checked against jstat): the exact series is too slow for a sum over a thousand lines.
 */
export function below(z: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(z));
  const poly =
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = 0.3989422804014327 * Math.exp(-0.5 * z * z) * poly;
  return z > 0 ? 1 - tail : tail;
}
