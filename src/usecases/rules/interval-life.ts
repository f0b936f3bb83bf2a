import { z } from 'zod';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { intervalFit } from '../../domain/life/interval-life.ts';
import { chanceWithin } from '../../domain/life/weibull.ts';
import { turnbull } from '../../domain/statistics/turnbull.ts';
import { MOST_ROWS } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const OR_SOUND = 'Give the time at which it was found lost, or null where it was still sound.';
const time = z.number().min(0, 'A time cannot be negative.');
const life = z
  .strictObject({
    after: time,
    by: z.number(OR_SOUND).nullable(),
    car: z.string().min(1).optional(),
  })
  .refine(({ after, by }) => by === null || by > after, {
    path: ['by'],
    message: 'Give a time later than "after", or null where it was still sound then.',
  });

export const intervalLife: Rule = {
  name: 'interval-life',
  does: "Life of parts whose loss is seen at a visit: Turnbull's curve, and a Weibull life with cars as wholes.",
  takes:
    '{lives: [{after: last seen sound, by: found lost or null, car?}], age?, horizon?: chance that one sound at this age is lost within the horizon}',
  gives:
    '{turnbull: {steps: [{after, by, share, survival}], logLikelihood, gap}, weibull: {shape, scale, logLikelihood, events, n, clusters, shapeLow, shapeHigh, scaleLow, scaleHigh, covariance} or {refused, events}, chance: number or null}',
  figures: ['life'],
  trial: trialOf({
    input: z.strictObject({
      lives: z.array(life).max(MOST_ROWS),
      age: time.default(0),
      horizon: time.optional(),
    }),
    answer({ lives, age, horizon }, own) {
      const intervals = lives.map(({ after, by, car }) => ({ after, by, cluster: car }));
      const weibull = intervalFit(intervals, figuresFor('life', own));
      return {
        turnbull: turnbull(intervals),
        weibull,
        chance:
          horizon === undefined || 'refused' in weibull
            ? null
            : chanceWithin(weibull, age, horizon),
      };
    },
    explain({ turnbull: { steps }, weibull, chance }, { age, horizon }, own) {
      const curve = steps.map(({ after, by, share, survival }) => {
        const part = `${(100 * share).toFixed(1)} %`;
        if (by === null) return `${part} outlive ${after}: how long is not known`;
        return `${part} end after ${after}, by ${by}; ${(100 * survival).toFixed(1)} % are left`;
      });
      if ('refused' in weibull) return [...curve, `no Weibull life: ${weibull.refused}`];
      const { shape, scale, shapeLow, shapeHigh, events, n, clusters } = weibull;
      const range =
        shapeLow === null || shapeHigh === null
          ? 'no range: all are of one car'
          : `${100 * figuresFor('life', own).shapeConfidence} % over ${clusters} cars: ${shapeLow.toFixed(2)} to ${shapeHigh.toFixed(2)}`;
      return [
        ...curve,
        `${events} of ${n} failed; shape ${shape.toFixed(3)} (${range}); 63.2 % have failed by ${scale.toFixed(1)}`,
        ...(chance === null
          ? []
          : [
              `one sound at ${age} is lost within ${horizon} with a chance of ${(100 * chance).toFixed(2)} %`,
            ]),
      ];
    },
  }),
};
