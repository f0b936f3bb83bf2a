import { trend } from '../src/domain/pivots/trend.ts';
import type { Measured } from './measure.ts';

const PIVOTS = 100_000;
const READINGS = 10;
const ROUNDS = 5;

/**
 * The trend of 100,000 pivots with ten readings each, over the least that any Theil-Sen must do:
 * work out the 45 slopes of each pivot in a typed array kept for all of them, and sort them the
 * built-in way. What
 * the rule adds to that (checks, ties, interval, Mann-Kendall, the answer itself) is the ratio.
 */
export async function run(): Promise<Measured[]> {
  const series = Array.from({ length: PIVOTS }, (_, pivot) => readingsOf(pivot));
  // Each pair of runs is compared by itself: on a busy machine neighbours in time are the fairest.
  const ratios = Array.from({ length: ROUNDS }, () => {
    const bare = timed(() => sumOf(series, bareMedian));
    return timed(() => sumOf(series, slopeOf)) / bare;
  }).sort((a, b) => a - b);
  const ratio = ratios[(ROUNDS - 1) / 2] ?? Infinity;
  return [{ name: 'pivot-trend', ratio, goal: '<= 2.5' }];
}

type Series = readonly { readonly x: number; readonly y: number }[];

/** Wear in hundredths of a millimetre with some scatter, so that ties come up as they do in life. */
function readingsOf(pivot: number): Series {
  let seed = pivot + 1;
  return Array.from({ length: READINGS }, (_, i) => {
    seed = (seed * 48_271) % 2_147_483_647;
    const scatter = seed % 11;
    return { x: i + (seed % 97) / 400, y: Math.round(10 + i * (pivot % 7) + scatter) / 100 };
  });
}

const slopes = new Float64Array((READINGS * (READINGS - 1)) / 2);

function bareMedian(series: Series): number {
  let count = 0;
  for (let i = 0; i < series.length; i += 1) {
    for (let j = i + 1; j < series.length; j += 1) {
      const a = series[i];
      const b = series[j];
      if (a && b) slopes[count] = (b.y - a.y) / (b.x - a.x);
      count += 1;
    }
  }
  slopes.sort();
  return slopes[22] ?? 0;
}

function slopeOf(readings: Series): number {
  const result = trend({ readings });
  if ('refused' in result) throw new Error(result.refused);
  return result.slope;
}

/** The sum is used, so that no compiler leaves the work out. */
function sumOf(all: readonly Series[], slope: (series: Series) => number): number {
  let sum = 0;
  for (const series of all) sum += slope(series);
  return sum;
}

function timed(work: () => number): number {
  const start = performance.now();
  if (!Number.isFinite(work())) throw new Error('a slope is missing');
  return performance.now() - start;
}
