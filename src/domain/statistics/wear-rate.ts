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
const STEP = 0.06;
const RATES = 118;
/** Joints of one kind differ by a factor of e to the power of these, one of them to be found. */
const SPREADS = [0.2, 0.35, 0.5, 0.7, 0.9, 1.2];
const SPREAD_CHANCES = [0.05, 0.2, 0.3, 0.25, 0.13, 0.07];
/** A reading errs by these shares of what its method is said to; their chances before any pool. */
const ERRORS = [0.5, 0.75, 1, 1.4, 2];
const ERROR_CHANCES = [0.12, 0.25, 0.38, 0.2, 0.05];
const MIDDLES = 13;
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

/**
 * Pools the series of other joints: log rates are normal about a middle and with a spread that are
 * both unknown, rates never negative, reading error common to all. Exact but for its grid (no
 * sampling). Series of fewer than two days say nothing and are left out.
 */
export function wearPrior(pool: readonly WearSeries[], belief: WearBelief): WearPrior {
  const lines = pool.map(lineOf).filter(({ n, sxx }) => n > 1 && sxx > 0);
  const errors = ERRORS.map((share) => share * belief.readingError);
  const shapes = SPREADS.flatMap((spread, s) =>
    Array.from({ length: MIDDLES }, (_, i) => {
      const z = ((i - (MIDDLES - 1) / 2) * 6) / (MIDDLES - 1);
      const middle = Math.log(belief.middleRate) + z * belief.middleSpread;
      return { shape: shapeOf(middle, spread), chance: Math.log(SPREAD_CHANCES[s]!) - z * z * 0.5 };
    }),
  );
  const logs = errors.map((error, e) => {
    const heard = lines.map((line) => {
      const log = Array.from({ length: RATES }, (_, i) =>
        logLikelihood(line, Math.exp(LOW + i * STEP), error),
      );
      const top = Math.max(...log);
      return { top, likely: log.map((value) => Math.exp(value - top)) };
    });
    return shapes.map(({ shape, chance }) =>
      heard.reduce(
        (sum, { top, likely }) => sum + top + Math.log(dot(shape, likely) + Number.MIN_VALUE),
        chance + Math.log(ERROR_CHANCES[e]!),
      ),
    );
  });
  const top = Math.max(...logs.flat());
  const density = logs.map((row) => {
    const sum = Array.from({ length: RATES }, () => 0);
    row.forEach((log, s) => {
      const weight = Math.exp(log - top);
      if (weight > FORGET) shapes[s]!.shape.forEach((p, i) => (sum[i]! += weight * p));
    });
    return sum;
  });
  const total = density.flat().reduce((sum, p) => sum + p, 0);
  return {
    errors,
    density: density.map((row) => row.map((p) => p / total)),
    pooled: lines.length,
  };
}

function shapeOf(middle: number, spread: number): number[] {
  const raw = Array.from({ length: RATES }, (_, i) =>
    Math.exp(-0.5 * ((LOW + i * STEP - middle) / spread) ** 2),
  );
  const total = raw.reduce((sum, p) => sum + p, 0);
  return raw.map((p) => p / total);
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i += 1) sum += a[i]! * b[i]!;
  return sum;
}

/** The joint as a weighted set of lines; each line's height is normal about its middle. */
export interface WearPosterior {
  readonly cells: readonly {
    readonly weight: number;
    readonly rate: number;
    readonly spread: number;
  }[];
  readonly x: number;
  readonly y: number;
}

/** Adds the joint's own readings to the prior. Throws RangeError where they are of one day. */
export function wearPosterior(series: WearSeries, prior: WearPrior): WearPosterior {
  const line = lineOf(series);
  if (line.n < 2 || line.sxx === 0) throw new RangeError('readings of two days are needed');
  const widest = (Math.max(...prior.errors) / Math.sqrt(line.sxx)) * 5;
  const from = Math.max(LOW, Math.log(Math.max(line.slope - widest, 0.002)));
  const last = LOW + (RATES - 1) * STEP;
  const to = Math.min(last, Math.log(Math.max(line.slope + widest, 0.02)));
  const cells = prior.errors.flatMap((error, e) =>
    Array.from({ length: FINE }, (_, i) => {
      const at = from + ((to - from) * i) / (FINE - 1);
      const rate = Math.exp(at);
      const log = logLikelihood(line, rate, error) + Math.log(densityAt(prior.density[e]!, at));
      return { log, rate, spread: error / Math.sqrt(line.n) };
    }),
  );
  const top = Math.max(...cells.map(({ log }) => log));
  return {
    x: line.x,
    y: line.y,
    cells: cells
      .map(({ log, rate, spread }) => ({ weight: Math.exp(log - top), rate, spread }))
      .filter(({ weight }) => weight > FORGET),
  };
}

function densityAt(row: readonly number[], logRate: number): number {
  const at = Math.min(Math.max((logRate - LOW) / STEP, 0), RATES - 1);
  const i = Math.min(Math.floor(at), RATES - 2);
  return row[i]! * (i + 1 - at) + row[i + 1]! * (at - i) + Number.MIN_VALUE;
}

/**
 * The times at which play meets `limit` with the chances `shares`, given that it had not by `after`
 * (all in the years of the series). Infinity where that lies more than `reach` years after it.
 */
export function crossingTimes(
  { cells, x, y }: WearPosterior,
  limit: number,
  after: number,
  shares: readonly number[],
  reach = 200,
): number[] {
  const crossed = (time: number) => {
    let sum = 0;
    for (const { weight, rate, spread } of cells) {
      sum += weight * below((y + rate * (time - x) - limit) / spread);
    }
    return sum;
  };
  const all = cells.reduce((sum, { weight }) => sum + weight, 0);
  const before = crossed(after);
  return shares.map((share) => {
    const wanted = before + share * (all - before);
    if (crossed(after + reach) < wanted) return Infinity;
    let low = after;
    let high = after + reach;
    while (high - low > 1e-3) {
      const middle = (low + high) / 2;
      if (crossed(middle) < wanted) low = middle;
      else high = middle;
    }
    return high;
  });
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
