import { z } from 'zod';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { EXACT_UP_TO } from '../../domain/pivots/mann-kendall.ts';
import { isRefused, trend as trendOf } from '../../domain/pivots/trend.ts';
import { MOST_ROWS } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

// JSON has no word for these, so programs write them in several ways. The rule itself refuses them.
const NO_NUMBERS: readonly unknown[] = [null, 'NaN', 'Infinity', '-Infinity', 'inf', '-inf'];
const reading = z.preprocess(
  (value) =>
    NO_NUMBERS.includes(value) || (typeof value === 'number' && !Number.isFinite(value))
      ? null
      : value,
  z.number().nullable(),
);

// Without the last digits of a number in binary, which no reading has.
const written = (value: number) => Number(value.toPrecision(6)) + 0;
const percent = (share: number) => Number((100 * share).toPrecision(3));

export const trend: Rule = {
  name: 'trend',
  does: 'Slope of a series after Theil and Sen with Sen\'s interval, and whether chance explains it (Mann-Kendall): the plain check of "wear".',
  takes: '{readings: [{x, y}], confidence?: 0.95}',
  gives:
    '{slope, low, high, coverage: how often such an interval holds the true slope, intercept, s, p, n}, or {refused: why}',
  figures: ['pivots.confidence'],
  trial: trialOf({
    input: z.strictObject({
      readings: z.array(z.strictObject({ x: reading, y: reading })).max(MOST_ROWS),
      confidence: z.number().optional(),
    }),
    answer: ({ readings, confidence }, own) =>
      trendOf({
        readings: readings.map(({ x, y }) => ({ x: x ?? NaN, y: y ?? NaN })),
        confidence: confidence ?? figuresFor('pivots', own).confidence,
      }),
    explain(answer, { confidence }, own) {
      if (isRefused(answer)) return [`refused: ${answer.refused}`];
      const { slope, low, high, coverage, intercept, s, p, n } = answer;
      const asked = percent(confidence ?? figuresFor('pivots', own).confidence);
      return [
        `${n} readings: the median of the slopes of all pairs is ${written(slope)}`,
        `interval of the slope after Sen (1968): ${written(low)} to ${written(high)}; asked for ${asked} %, it attains ${percent(coverage)} % with ${n} readings`,
        `median of y less slope × median of x: ${written(intercept)}`,
        `rising pairs less falling ones: ${s}; as much or more by chance: p = ${written(p)} (${n <= EXACT_UP_TO ? 'counted out exactly' : 'normal, corrected for ties'})`,
      ];
    },
  }),
};
