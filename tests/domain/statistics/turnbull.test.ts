import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { kaplanMeier } from '../../../src/domain/life/kaplan-meier.ts';
import type { IntervalLife } from '../../../src/domain/statistics/interval.ts';
import { turnbull } from '../../../src/domain/statistics/turnbull.ts';
import { RADIATION_ALONE, RADIATION_WITH_CHEMOTHERAPY } from './cosmesis.ts';

const LIVES = fc.array(
  fc
    .record({ after: fc.integer({ min: 0, max: 30 }), wide: fc.integer({ min: 0, max: 12 }) })
    .map(({ after, wide }): IntervalLife => ({ after, by: wide === 0 ? null : after + wide })),
  { minLength: 1, maxLength: 40 },
);

/** The chance the curve gives to an interval, by adding up the stretches that lie in it. */
function chanceOf(life: IntervalLife, steps: ReturnType<typeof turnbull>['steps']): number {
  return steps
    .filter(({ after, by }) => after >= life.after && (by ?? Infinity) <= (life.by ?? Infinity))
    .reduce((sum, { share }) => sum + share, 0);
}

describe('the curve of lives known between two looks', () => {
  test('is the published one of the cosmesis data, radiation alone', () => {
    // Stretches and shares as in Finkelstein & Wolfe's data worked by Turnbull's estimate (Klein &
    // Moeschberger, Survival Analysis, section 5.2; Fay & Shaw 2010, J. Stat. Softw. 36(2)): from memory.
    const { steps, gap } = turnbull(RADIATION_ALONE);
    expect(steps.map(({ after, by }) => [after, by])).toEqual([
      [4, 5],
      [6, 7],
      [7, 8],
      [11, 12],
      [24, 25],
      [33, 34],
      [38, 40],
      [46, 48],
    ]);
    const shares = [0.0463, 0.0334, 0.0887, 0.0708, 0.0926, 0.0818, 0.1209, 0.4656];
    steps.forEach(({ share }, i) => expect(share).toBeCloseTo(shares[i]!, 3));
    const left = [0.954, 0.92, 0.832, 0.761, 0.668, 0.586, 0.466, 0];
    steps.forEach(({ survival }, i) => expect(survival).toBeCloseTo(left[i]!, 2));
    expect(gap).toBeLessThan(1e-6);
  });

  test('puts no share where another place would be likelier, whatever the lives', () => {
    // The Kuhn-Tucker conditions, from the intervals themselves: a share moved to any stretch may not
    // raise the likelihood, and those that hold a share rise alike.
    fc.assert(
      fc.property(LIVES, (lives) => {
        const { steps } = turnbull(lives);
        expect(steps.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 6);
        const chances = lives.map((life) => chanceOf(life, steps));
        for (const at of [...Array(44).keys()].map((k) => k + 0.5)) {
          const holds = (life: IntervalLife) => life.after < at && at <= (life.by ?? Infinity);
          const rise = lives.reduce((s, life, i) => s + (holds(life) ? 1 / chances[i]! : 0), 0);
          expect(rise).toBeLessThanOrEqual(lives.length * (1 + 1e-4));
        }
      }),
    );
  });

  test('is Kaplan and Meier’s where the looks are so close that each loss is as good as dated', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: 20 }), fc.boolean()), { minLength: 1 }),
        (pairs) => {
          const dated = kaplanMeier(pairs.map(([time, event]) => ({ time, event })));
          // Censored just after the losses of its day, as Kaplan and Meier have it.
          const { steps } = turnbull(
            pairs.map(([time, event]) =>
              event ? { after: time - 0.01, by: time } : { after: time, by: null },
            ),
          );
          for (const { time, survival } of dated.steps) {
            const left = steps.filter(({ by }) => by !== null && by <= time).at(-1)?.survival;
            expect(left).toBeCloseTo(survival, 5);
          }
        },
      ),
    );
  });

  test('falls lower with chemotherapy, as the trial found', () => {
    const leftAt = (lives: IntervalLife[], time: number) =>
      turnbull(lives).steps.findLast(({ by }) => by !== null && by <= time)?.survival ?? 1;
    expect(leftAt(RADIATION_ALONE, 40)).toBeGreaterThan(0.45);
    expect(leftAt(RADIATION_WITH_CHEMOTHERAPY, 40)).toBeLessThan(0.2);
  });

  test('is empty without lives, and refuses what is no interval', () => {
    expect(turnbull([])).toEqual({ steps: [], logLikelihood: 0, gap: 0 });
    expect(() => turnbull([{ after: 3, by: 3 }])).toThrow(/lives\[0\]\.by/);
    expect(() => turnbull([{ after: -1, by: null }])).toThrow(/lives\[0\]\.after/);
  });
});
