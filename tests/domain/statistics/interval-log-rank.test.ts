import { describe, expect, test } from 'vitest';
import { compareLives } from '../../../src/domain/life/compare-lives.ts';
import { logRank } from '../../../src/domain/life/log-rank.ts';
import { compareIntervals } from '../../../src/domain/statistics/interval-log-rank.ts';
import type { IntervalLife } from '../../../src/domain/statistics/interval.ts';
import { PLACEBO, SIX_MP } from '../life/leukaemia.ts';
import { RADIATION_ALONE, RADIATION_WITH_CHEMOTHERAPY } from './cosmesis.ts';

describe('two groups of lives known between two looks', () => {
  test('differ as published for the cosmesis data', () => {
    // Finkelstein's scores: 9.944182 losses more than expected with chemotherapy (Fay & Shaw 2010, J.
    // Stat. Softw. 36(2), who give p = 0.0073 by permutation): from memory.
    const { excess, variance } = compareIntervals(RADIATION_ALONE, RADIATION_WITH_CHEMOTHERAPY)!;
    expect(excess[0]).toBeCloseTo(-9.944182, 5);
    expect(excess[1]).toBeCloseTo(9.944182, 5);
    expect(Math.abs(excess[0]) / Math.sqrt(variance)).toBeCloseTo(2.68, 1);
    const compared = compareLives(RADIATION_ALONE, RADIATION_WITH_CHEMOTHERAPY);
    if ('refused' in compared) throw new Error(compared.refused);
    expect(compared.p).toBeCloseTo(0.0073, 3);
    expect(compared.groups[1].expected).toBeCloseTo(35 - 9.944182, 5);
  });

  test('are seen much as by the log-rank test where every loss is as good as dated', () => {
    // The published remission times: 6-MP 9 seen, 19.25 expected (log-rank); the scores for ties differ.
    const dated = ({ time, event }: (typeof SIX_MP)[number]): IntervalLife =>
      event ? { after: time - 0.01, by: time } : { after: time, by: null };
    const compared = compareLives(SIX_MP.map(dated), PLACEBO.map(dated));
    const exact = logRank(SIX_MP, PLACEBO);
    if ('refused' in compared || 'refused' in exact) throw new Error('refused');
    expect(Math.abs(compared.groups[0].expected - exact.groups[0].expected)).toBeLessThan(1.5);
    expect(compared.p).toBeLessThan(0.001);
  });

  test('count two washers that go together in one car as one piece of news', () => {
    const twice = (lives: readonly IntervalLife[], name: string) =>
      [...lives, ...lives].map((life, i) => ({ ...life, cluster: name + (i % lives.length) }));
    const once = compareIntervals(RADIATION_ALONE, RADIATION_WITH_CHEMOTHERAPY)!;
    const both = compareIntervals(
      twice(RADIATION_ALONE, 'a'),
      twice(RADIATION_WITH_CHEMOTHERAPY, 'b'),
    )!;
    expect(both.clusters).toBe(94);
    const z = ({ excess, variance }: typeof once) => excess[0] / Math.sqrt(variance);
    expect(z(both)).toBeCloseTo(z(once), 5);
  });

  test('are not compared where there is nothing to go by', () => {
    const sound = [1, 2, 3].map((after) => ({ after, by: null }));
    expect(compareLives(sound, sound)).toEqual({
      refused: 'no loss that could tell the groups apart',
      events: 0,
    });
    const oneCar = RADIATION_ALONE.map((life) => ({ ...life, cluster: 'one' }));
    expect(compareLives(oneCar, RADIATION_ALONE)).toMatchObject({ events: 42 });
    expect(compareLives(oneCar, RADIATION_ALONE)).toHaveProperty('refused');
  });
});
