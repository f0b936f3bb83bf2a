import { valuesOf } from '../figures/figure.ts';
import type { IntervalLife } from '../statistics/interval.ts';
import { weibullOfIntervals } from '../statistics/weibull-intervals.ts';
import type { LogCovariance } from '../statistics/weibull-intervals.ts';
import { chiSquare1Quantile } from '../statistics/chi-square.ts';
import { LIFE_FIGURES } from './life-figures.ts';
import type { LifeValues } from './life-figures.ts';
import type { WeibullRefusal } from './weibull.ts';

/** A Weibull life from looks, with the ranges that the number of cars allows. */
export interface IntervalFit {
  /** Below 1 lives fail early, at 1 by chance alone, above 1 they wear out. */
  readonly shape: number;
  /** Time by which 63.2 % have failed, in the unit of the lives. */
  readonly scale: number;
  readonly logLikelihood: number;
  readonly events: number;
  readonly n: number;
  /** How many cars (or whatever the lives share) the range rests on. */
  readonly clusters: number;
  /** Range of the shape; null where all lives are of one car. */
  readonly shapeLow: number | null;
  readonly shapeHigh: number | null;
  readonly scaleLow: number | null;
  readonly scaleHigh: number | null;
  readonly covariance: LogCovariance | null;
}

/**
 * Weibull life of parts whose loss is seen at a visit, the range by the cluster-robust error so that
 * the washers of one car count as going together. Refused, with the count, under `minFailures`
 * failures (shop rule), and where the visits cannot tell how the lives spread.
 * Throws RangeError for an interval that is none.
 */
export function intervalFit(
  lives: readonly IntervalLife[],
  values: LifeValues = valuesOf(LIFE_FIGURES),
): IntervalFit | WeibullRefusal {
  const n = lives.length;
  const events = lives.filter(({ by }) => by !== null).length;
  if (events < values.minFailures) {
    const least = values.minFailures;
    return { refused: `${events} of ${n} failed; a fit needs at least ${least} failures`, events };
  }
  const fit = weibullOfIntervals(lives);
  if (fit === null) {
    return {
      refused: `${events} of ${n} failed, but the visits stand so that they cannot tell how the lives spread`,
      events,
    };
  }
  const { shape, scale, logLikelihood, clusters, covariance } = fit;
  const reach = Math.sqrt(chiSquare1Quantile(values.shapeConfidence));
  const within = (middle: number, variance: number | undefined, sign: number): number | null =>
    variance === undefined ? null : middle * Math.exp(sign * reach * Math.sqrt(variance));
  return {
    shape,
    scale,
    logLikelihood,
    events,
    n,
    clusters,
    shapeLow: within(shape, covariance?.shape, -1),
    shapeHigh: within(shape, covariance?.shape, 1),
    scaleLow: within(scale, covariance?.scale, -1),
    scaleHigh: within(scale, covariance?.scale, 1),
    covariance,
  };
}

/** The share still sound at one time, and its range; the range is null where none can be given. */
export interface BandPoint {
  readonly time: number;
  readonly survival: number;
  readonly low: number | null;
  readonly high: number | null;
}

/**
 * The fitted curve at the times given, with its range by the delta method on log(-log S), where a
 * Weibull curve is a straight line and no range can leave 0 to 1. Times must be above zero.
 */
export function bandOf(
  fit: Pick<IntervalFit, 'shape' | 'scale' | 'covariance'>,
  times: readonly number[],
  values: LifeValues = valuesOf(LIFE_FIGURES),
): BandPoint[] {
  const reach = Math.sqrt(chiSquare1Quantile(values.shapeConfidence));
  return times.map((time) => {
    if (!(time > 0)) throw new RangeError('bandOf: times must be above zero');
    const z = fit.shape * Math.log(time / fit.scale);
    const at = (height: number): number => Math.exp(-Math.exp(height));
    if (fit.covariance === null) return { time, survival: at(z), low: null, high: null };
    const { scale, both, shape } = fit.covariance;
    const variance = fit.shape ** 2 * scale - 2 * fit.shape * z * both + z * z * shape;
    const error = reach * Math.sqrt(Math.max(0, variance));
    return { time, survival: at(z), low: at(z + error), high: at(z - error) };
  });
}
