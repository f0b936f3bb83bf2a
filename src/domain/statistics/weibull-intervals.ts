import { countAlike, requireIntervals } from './interval.ts';
import type { IntervalLife } from './interval.ts';

/** Errors of the logarithms of scale and shape, and how the two go together. */
export interface LogCovariance {
  readonly scale: number;
  readonly both: number;
  readonly shape: number;
}

export interface IntervalWeibull {
  /** Below 1 lives fail early, at 1 by chance alone, above 1 they wear out. */
  readonly shape: number;
  /** Time by which 63.2 % have failed, in the unit of the lives. */
  readonly scale: number;
  readonly logLikelihood: number;
  /**
   * Of the logarithms of scale and shape, by the sandwich over clusters: lives of one cluster may go
   * together in any way. Null under two clusters, where nothing shows how far they differ.
   */
  readonly covariance: LogCovariance | null;
  readonly clusters: number;
}

/** A shape above this, or below its reciprocal, is no shape but a likelihood without a top. */
const STEEPEST = 100;
const MOST_ROUNDS = 200;
const STILL = 1e-10;

/**
 * Weibull life by maximum likelihood where each end is known only between two looks, with the
 * cluster-robust error of the estimate (Liang & Zeger 1986; small-sample factor G/(G - 1)). Own Newton
 * steps: the likelihood has two unknowns and exact derivatives, so that a package would bring more
 * code than it spares. Null where the likelihood has no highest point, as when every loss lies in one
 * and the same interval: the looks then cannot tell how the lives spread.
 * Throws RangeError for an interval that is none.
 */
export function weibullOfIntervals(lives: readonly IntervalLife[]): IntervalWeibull | null {
  requireIntervals(lives);
  const told = lives.filter(({ after, by }) => after > 0 || by !== null);
  const failed = told.filter(({ by }) => by !== null).length;
  if (failed === 0) return null;
  // Times against their mean, so that no power of them can overflow at the start.
  const watched = told.reduce((sum, { after, by }) => sum + (after + (by ?? after)) / 2, 0);
  const unit = watched / failed;
  const { alike, placeOf } = countAlike(told);
  const terms = alike.map(({ after, by, n }) => ({
    n,
    after: Math.log(after / unit),
    by: by === null ? Infinity : Math.log(by / unit),
  }));
  const found = climb(terms, told.length);
  if (found === null) return null;
  const { at, sum } = found;
  const inverse = inverseOf(sum.bend);
  if (inverse === null) return null;
  const { covariance, clusters } = sandwich(told, (i) => terms[placeOf[i]!]!, at, inverse);
  return {
    shape: Math.exp(at.logShape),
    scale: unit * Math.exp(at.logScale),
    logLikelihood: sum.height,
    covariance,
    clusters,
  };
}

interface Point {
  readonly logScale: number;
  readonly logShape: number;
}

/** Logarithms of the ends of the interval of `n` lives; minus infinity from the start, infinity to no end. */
interface Term {
  readonly n: number;
  readonly after: number;
  readonly by: number;
}

/** Height of a log-likelihood, its slope and its bend, by log scale (a) and log shape (b). */
interface Hill {
  height: number;
  a: number;
  b: number;
  bend: { aa: number; ab: number; bb: number };
}

const FLAT = { h: 0, a: 0, b: 0, aa: 0, ab: 0, bb: 0 };

/** The hazard summed up to a time, exp(z) with z = shape (log time - log scale), and its derivatives. */
function hazard(log: number, { logScale, logShape }: Point): typeof FLAT {
  if (log === -Infinity) return FLAT;
  const shape = Math.exp(logShape);
  const z = shape * (log - logScale);
  const h = Math.exp(z);
  return {
    h,
    a: -shape * h,
    b: z * h,
    aa: shape * shape * h,
    ab: -shape * h * (1 + z),
    bb: z * (1 + z) * h,
  };
}

/** Adds the log of the chance that `n` lives end in their interval. */
function add(sum: Hill, term: Omit<Term, 'n'>, at: Point, n: number): void {
  const from = hazard(term.after, at);
  sum.height -= n * from.h;
  sum.a -= n * from.a;
  sum.b -= n * from.b;
  sum.bend.aa -= n * from.aa;
  sum.bend.ab -= n * from.ab;
  sum.bend.bb -= n * from.bb;
  if (term.by === Infinity) return;
  const to = hazard(term.by, at);
  const rise = to.h - from.h;
  sum.height += n * Math.log(-Math.expm1(-rise));
  const q = 1 / Math.expm1(rise);
  // Far out q is nought and the hazard may be past all numbers: the life had surely ended by then.
  if (!(q > 0) || !Number.isFinite(rise)) return;
  const a = to.a - from.a;
  const b = to.b - from.b;
  const curve = q * (1 + q);
  sum.a += n * q * a;
  sum.b += n * q * b;
  sum.bend.aa += n * (q * (to.aa - from.aa) - curve * a * a);
  sum.bend.ab += n * (q * (to.ab - from.ab) - curve * a * b);
  sum.bend.bb += n * (q * (to.bb - from.bb) - curve * b * b);
}

function hillAt(terms: readonly Term[], at: Point): Hill {
  const sum: Hill = { height: 0, a: 0, b: 0, bend: { aa: 0, ab: 0, bb: 0 } };
  for (const term of terms) add(sum, term, at, term.n);
  return sum;
}

/** Newton steps, damped until the bend is a hill's and shortened until they lead up; null if astray. */
function climb(terms: readonly Term[], lives: number): { at: Point; sum: Hill } | null {
  let at: Point = { logScale: 0, logShape: 0 };
  let sum = hillAt(terms, at);
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    if (Math.hypot(sum.a, sum.b) <= STILL * lives) return { at, sum };
    const next = stepUp(terms, at, sum);
    // No step leads up any more: rounding hides the rest, or the hill is a ridge with no top.
    if (next === null) return Math.hypot(sum.a, sum.b) <= 1e-6 * lives ? { at, sum } : null;
    ({ at, sum } = next);
    if (Math.abs(at.logShape) > Math.log(STEEPEST)) return null;
  }
  return null;
}

function stepUp(terms: readonly Term[], at: Point, sum: Hill): { at: Point; sum: Hill } | null {
  const { aa, ab, bb } = sum.bend;
  const size = Math.max(Math.abs(aa), Math.abs(bb), 1e-12);
  for (let damp = 0; damp <= 1e12 * size; damp = damp === 0 ? 1e-6 * size : damp * 10) {
    const inverse = inverseOf({ aa: aa - damp, ab, bb: bb - damp });
    if (inverse === null) continue;
    const step = {
      logScale: at.logScale + inverse.aa * sum.a + inverse.ab * sum.b,
      logShape: at.logShape + inverse.ab * sum.a + inverse.bb * sum.b,
    };
    const tried = hillAt(terms, step);
    if (Number.isFinite(tried.height) && tried.height > sum.height) return { at: step, sum: tried };
  }
  return null;
}

/** Inverse of the negative bend; null unless it is a hill's, with a top in both directions. */
function inverseOf({ aa, ab, bb }: Hill['bend']): Hill['bend'] | null {
  const det = aa * bb - ab * ab;
  if (!(aa < 0 && bb < 0 && det > 1e-9 * aa * bb)) return null;
  return { aa: -bb / det, ab: ab / det, bb: -aa / det };
}

function sandwich(
  lives: readonly IntervalLife[],
  termOf: (place: number) => Term,
  at: Point,
  { aa, ab, bb }: Hill['bend'],
): { covariance: LogCovariance | null; clusters: number } {
  const slopes = new Map<string | number, Hill>();
  lives.forEach(({ cluster }, i) => {
    const key = cluster ?? i;
    const sum = slopes.get(key) ?? { height: 0, a: 0, b: 0, bend: { aa: 0, ab: 0, bb: 0 } };
    add(sum, termOf(i), at, 1);
    slopes.set(key, sum);
  });
  const clusters = slopes.size;
  if (clusters < 2) return { covariance: null, clusters };
  const factor = clusters / (clusters - 1);
  let [scale, both, shape] = [0, 0, 0];
  for (const { a, b } of slopes.values()) {
    const u = aa * a + ab * b;
    const v = ab * a + bb * b;
    scale += factor * u * u;
    both += factor * u * v;
    shape += factor * v * v;
  }
  return { covariance: { scale, both, shape }, clusters };
}
