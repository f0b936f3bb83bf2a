import { valuesOf } from '../figures/figure.ts';
import { chiSquare1Quantile } from '../statistics/chi-square.ts';
import { LIFE_FIGURES } from './life-figures.ts';
import type { LifeValues } from './life-figures.ts';
import type { Observation } from './observation.ts';
import { largestUnder, smallestOver } from '../statistics/root.ts';

export interface WeibullFit {
  /** Below 1 lives fail early, at 1 by chance alone, above 1 they wear out. */
  readonly shape: number;
  /** Time by which 63.2 % have failed, in the unit of the observations. */
  readonly scale: number;
  readonly logLikelihood: number;
  readonly events: number;
  readonly n: number;
  /** Range of the shape by the likelihood ratio (profile likelihood, chi-square, one degree). */
  readonly shapeLow: number;
  readonly shapeHigh: number;
}

export interface WeibullRefusal {
  readonly refused: string;
  readonly events: number;
}

/**
 * Weibull life by maximum likelihood, lives still running censored on the right. Refused with the
 * count under `minFailures` failures (shop rule), and where every failure stands at the longest
 * time of all, since the likelihood then has no highest point.
 * Throws RangeError naming the observation unless every time is finite and above zero.
 */
export function weibullFit(
  observations: readonly Observation[],
  values: LifeValues = valuesOf(LIFE_FIGURES),
): WeibullFit | WeibullRefusal {
  observations.forEach(({ time }, index) => {
    if (!Number.isFinite(time) || time <= 0) {
      throw new RangeError(`observations[${index}].time must be a finite number above zero`);
    }
  });
  const n = observations.length;
  const events = observations.filter(({ event }) => event).length;
  if (events < values.minFailures) {
    const least = values.minFailures;
    return { refused: `${events} of ${n} failed; a fit needs at least ${least} failures`, events };
  }
  // Times are taken as logs against the longest, so that no power of them can overflow.
  const longest = observations.reduce((most, { time }) => Math.max(most, time), 0);
  const logs = observations.map(({ time }) => Math.log(time / longest));
  let failedLogs = 0;
  observations.forEach(({ event }, index) => {
    if (event) failedLogs += logs[index]!;
  });
  if (failedLogs === 0) {
    return { refused: `all ${events} failures stand at the longest time (${longest})`, events };
  }

  const profile = (shape: number): number =>
    events * Math.log(shape) - events * Math.log(powers(logs, shape) / events) + shape * failedLogs;
  // The slope of the profile falls steadily, so its one zero is the maximum.
  const rising = (shape: number): boolean =>
    events / shape + failedLogs > (events * powersOfLogs(logs, shape)) / powers(logs, shape);
  const shape = largestUnder(rising, 1);

  const top = profile(shape);
  const drop = chiSquare1Quantile(values.shapeConfidence) / 2;
  const within = (candidate: number): boolean => profile(candidate) >= top - drop;
  return {
    shape,
    scale: longest * (powers(logs, shape) / events) ** (1 / shape),
    logLikelihood: top - failedLogs - events * Math.log(longest) - events,
    events,
    n,
    shapeLow: smallestOver(within, shape),
    shapeHigh: largestUnder(within, shape),
  };
}

/** Chance that a life still sound at `age` fails within the next `horizon`. */
export function chanceWithin(
  life: Pick<WeibullFit, 'shape' | 'scale'>,
  age: number,
  horizon: number,
): number {
  if (!(age >= 0) || !(horizon >= 0)) throw new RangeError('age and horizon must be >= 0');
  const spent = (age / life.scale) ** life.shape;
  const ahead = ((age + horizon) / life.scale) ** life.shape;
  return -Math.expm1(spent - ahead);
}

function powers(logs: readonly number[], shape: number): number {
  let sum = 0;
  for (const log of logs) sum += Math.exp(shape * log);
  return sum;
}

function powersOfLogs(logs: readonly number[], shape: number): number {
  let sum = 0;
  for (const log of logs) sum += log * Math.exp(shape * log);
  return sum;
}
