import { jStat } from '../life/jstat.ts';
import { describe, expect, it } from 'vitest';
import {
  below,
  chanceMetBy,
  crossing,
  wearPool,
  wearPosterior,
} from '../../../src/domain/statistics/wear-rate.ts';
import type { WearBelief } from '../../../src/domain/statistics/wear-rate.ts';

const BELIEF: WearBelief = { middleRate: 0.08, middleSpread: 0.7, readingError: 0.05 };
const line = (...y: number[]) => y.map((at, x) => ({ x, y: at }));
const OWN = line(0.1, 0.2, 0.28);

describe('the day that wear meets a limit', () => {
  it('has the normal chances of a reference package', () => {
    for (const z of [-6, -3, -1.5, -0.2, 0, 0.7, 1.96, 4]) {
      expect(below(z)).toBeCloseTo(jStat.normal.cdf(z, 0, 1), 6);
    }
  });

  it('agrees with a plain sum over the prior, drawn at random', () => {
    // Importance sampling over the same belief: spreads and errors as the grid has them, one joint.
    let seed = 99;
    const uniform = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    const pick = (values: number[], chances: number[]) => {
      let left = uniform();
      return values.find((_, i) => (left -= chances[i]!) <= 0) ?? values.at(-1)!;
    };
    let all = 0;
    let met = 0;
    const mean = { x: 1, y: 0.58 / 3 };
    for (let i = 0; i < 60_000; i += 1) {
      const spread = pick(
        [0.1, 0.2, 0.35, 0.5, 0.7, 0.9, 1.2],
        [0.05, 0.1, 0.2, 0.24, 0.2, 0.13, 0.08],
      );
      const error = 0.05 * pick([0.5, 0.75, 1, 1.4, 2], [0.1, 0.22, 0.36, 0.24, 0.08]);
      const rate = 0.08 * Math.exp(0.7 * normal() + spread * normal());
      const misfit = OWN.reduce((sum, { x, y }) => sum + (y - mean.y - rate * (x - 1)) ** 2, 0);
      const weight = error ** -2 * Math.exp(-misfit / (2 * error * error));
      all += weight;
      const needed = (1 - mean.y - rate * (7 - 1)) / (error / Math.sqrt(3));
      met += weight * (1 - jStat.normal.cdf(needed, 0, 1));
    }
    const posterior = wearPosterior(OWN, wearPool([], BELIEF)());
    expect(chanceMetBy(posterior, 1, 7)).toBeCloseTo(met / all, 1.5);
  });

  it('hears a car of the pool no second time', () => {
    const others = [line(0.1, 0.3), line(0.1, 0.18, 0.25), line(0.2, 0.22)];
    const of = (car: string, series: typeof OWN) => ({ car, series });
    const pool = others.map((series, i) => of(`${i}`, series));
    const without = wearPool(pool, BELIEF)();
    const taken = wearPool([...pool, of('own', OWN), of('own', line(0, 0.5))], BELIEF)('own');
    expect(taken.pooled).toBe(3);
    taken.density.forEach((row, e) =>
      row.forEach((p, i) => expect(p).toBeCloseTo(without.density[e]![i]!, 9)),
    );
  });

  it('leaves out series of one day, and refuses to judge them', () => {
    const day = [
      { x: 1, y: 0.2 },
      { x: 1, y: 0.3 },
    ];
    expect(wearPool([{ car: 'a', series: day }], BELIEF)().pooled).toBe(0);
    expect(() => wearPosterior(day, wearPool([], BELIEF)())).toThrow('two days');
  });

  it('names later days once play was seen to be under a width for long', () => {
    const prior = wearPool([], BELIEF)();
    const days = (seen: { x: number; limit: number }[]) =>
      crossing(wearPosterior(OWN, prior, seen), 2, 2, 100);
    const alone = days([]);
    const later = days([{ x: 12, limit: 1.6 }]);
    expect(later.earliest).toBeGreaterThan(12);
    expect(later.likely).toBeGreaterThan(alone.likely);
    // What was seen to be under 1.6 mm cannot have met 1.6 mm by then.
    const posterior = wearPosterior(OWN, prior, [{ x: 12, limit: 1.6 }]);
    expect(chanceMetBy(posterior, 1.6, 12)).toBe(0);
    // Seen early, it tells next to nothing.
    expect(days([{ x: 2.5, limit: 1.6 }]).likely).toBeCloseTo(alone.likely, 2);
  });

  it('answers in numbers where what was seen contradicts what was read', () => {
    const posterior = wearPosterior(line(1, 1.5, 2), wearPool([], BELIEF)(), [
      { x: 3, limit: 1.6 },
    ]);
    const met = chanceMetBy(posterior, 3, 20);
    expect(met >= 0 && met <= 1).toBe(true);
  });

  it('leaves out a tenth in all, at one end where the limit may be met by now', () => {
    const prior = wearPool([], BELIEF)();
    const posterior = wearPosterior(line(0.2, 0.34, 0.47), prior);
    const shares = [0.5, 1].map((limit) => {
      const { earliest, likely, latest } = crossing(posterior, limit, 2, 200);
      const met = (time: number) => Math.round(100 * chanceMetBy(posterior, limit, time)) / 100;
      return { now: earliest === 2, low: met(earliest), middle: met(likely), high: met(latest) };
    });
    expect(shares).toEqual([
      { now: true, low: expect.any(Number), middle: 0.5, high: 0.9 },
      { now: false, low: 0.05, middle: 0.5, high: 0.95 },
    ]);
    expect(shares[0]?.low).toBeGreaterThan(0.05);
  });

  it('leaves the tenth out before an interval whose end lies beyond the reach', () => {
    const posterior = wearPosterior(line(0.2, 0.34, 0.47), wearPool([], BELIEF)());
    const met = (time: number) => Math.round(100 * chanceMetBy(posterior, 3, time)) / 100;
    const within = crossing(posterior, 3, 2, 200);
    expect([met(within.earliest), met(within.latest)]).toEqual([0.05, 0.95]);
    const beyond = crossing(posterior, 3, 2, within.latest - 3);
    expect([met(beyond.earliest), beyond.latest]).toEqual([0.1, Infinity]);
    expect(beyond.likely).toBeCloseTo(within.likely, 2);
    // Neither met by now nor far from it surely: only everything holds nine tenths.
    const soon = chanceMetBy(posterior, 0.5, 2.5);
    expect(soon > 0.1 && soon < 0.9).toBe(true);
    expect(crossing(posterior, 0.5, 2.5, 0)).toMatchObject({ earliest: 2.5, latest: Infinity });
  });
});
