import { describe, expect, it } from 'vitest';
import {
  crossingTimes,
  wearPosterior,
  wearPrior,
} from '../../../src/domain/statistics/wear-rate.ts';
import type { WearBelief, WearSeries } from '../../../src/domain/statistics/wear-rate.ts';
import { numbersFrom } from '../../setup/numbers-from.ts';

function seeded(seed: number) {
  const uniform = numbersFrom(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

const METHODS = { axial: 0.05, radial: 0.1 };

interface World {
  readonly rate: () => number;
  readonly uniform: () => number;
  readonly normal: () => number;
  readonly error: number;
}

/** Yearly visits with six weeks' jitter; what the gauge shows is rounded to 0.01 mm. */
function joint(n: number, { rate, uniform, normal, error }: World) {
  const wear = rate();
  const start = 0.03 + 0.15 * uniform();
  const series = Array.from({ length: n }, (_, i) => {
    const x = i + 0.24 * (uniform() - 0.5);
    const read = start + wear * x + error * normal();
    return { x, y: Math.max(0, Math.round(read * 100) / 100) };
  });
  return { series, meets: (limit: number) => (limit - start) / wear };
}

function simulate(
  method: keyof typeof METHODS,
  n: number,
  pool: number,
  kind: 'lognormal' | 'gamma' = 'lognormal',
  errorShare = 1,
  seed = 7,
) {
  const { uniform, normal } = seeded(seed);
  const belief: WearBelief = { middleRate: 0.08, middleSpread: 0.5, readingError: METHODS[method] };
  let inside = 0;
  let printed = 0;
  const widths: number[] = [];
  for (let group = 0; printed < 300 && group < 3000; group += 1) {
    const middle = Math.log(0.08) + 0.5 * normal();
    const rate =
      kind === 'lognormal'
        ? () => Math.exp(middle + 0.5 * normal())
        : () => -(Math.log(1 - uniform()) + Math.log(1 - uniform())) * 0.05;
    const world = { rate, uniform, normal, error: METHODS[method] * errorShare };
    const others: WearSeries[] = Array.from(
      { length: pool },
      () => joint(2 + Math.floor(5 * uniform()), world).series,
    );
    const prior = wearPrior(others, belief);
    for (let k = 0; k < (pool > 0 ? 3 : 1); k += 1) {
      const { series, meets } = joint(n, world);
      const last = series.at(-1)!;
      // Only joints for which a day is printed, and which have not met the limit unseen.
      const rises = last.y - series[0]!.y >= 2 * METHODS[method];
      if (!rises || last.y > 1 || meets(1) <= last.x) continue;
      const [low, likely, high] = crossingTimes(
        wearPosterior(series, prior),
        1,
        last.x,
        [0.05, 0.5, 0.95],
      );
      if (likely! > last.x + 30) continue;
      printed += 1;
      if (meets(1) >= low! && meets(1) <= high!) inside += 1;
      widths.push(high! - low!);
    }
  }
  return { share: inside / printed, printed, width: widths.sort((a, b) => a - b)[printed >> 1]! };
}

describe('the day that wear meets a limit', { timeout: 180_000 }, () => {
  it.each(Object.keys(METHODS) as (keyof typeof METHODS)[])(
    'is inside nine times in ten: %s',
    (method) => {
      for (const pool of [0, 12]) {
        const rows = [2, 3, 4, 6, 10].map((n) => ({ n, ...simulate(method, n, pool) }));
        for (const { n, share, printed } of rows) {
          // 87 to 93 in a hundred, and two standard errors of the simulation itself.
          const chance = 2 * Math.sqrt((0.9 * 0.1) / printed);
          expect(share, `n ${n}, pool ${pool}`).toBeGreaterThanOrEqual(0.87 - chance);
          expect(share, `n ${n}, pool ${pool}`).toBeLessThanOrEqual(0.93 + chance);
        }
        const mean = rows.reduce((sum, { share }) => sum + share, 0) / rows.length;
        expect(mean, `pool ${pool}`).toBeGreaterThanOrEqual(0.87);
        expect(mean, `pool ${pool}`).toBeLessThanOrEqual(0.93);
      }
    },
  );

  it('is named more closely where ten cars or more are known', () => {
    for (const n of [2, 3, 4]) {
      expect(simulate('radial', n, 12).width).toBeLessThan(simulate('radial', n, 0).width);
    }
  });

  it('stays sane where rates are gamma or readings err more than said', () => {
    for (const pool of [0, 12]) {
      const rows = [3, 6].flatMap((n) => [
        simulate('axial', n, pool, 'gamma'),
        simulate('axial', n, pool, 'lognormal', 1.5),
      ]);
      for (const { share } of rows) expect(share).toBeGreaterThan(0.8);
    }
  });
});
