import { z } from 'zod';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { weibullFit } from '../../domain/life/weibull.ts';
import { observations } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

export const weibull: Rule = {
  name: 'weibull',
  does: 'Weibull life by maximum likelihood, lives still running censored; refused for too few failures.',
  takes: '{observations: [{time, event: true where it failed then}]}',
  gives: '{shape, scale, logLikelihood, events, n, shapeLow, shapeHigh}, or {refused: why, events}',
  figures: ['life'],
  trial: trialOf({
    input: z.strictObject({
      observations: observations(z.number().gt(0, 'A life is longer than nothing.')),
    }),
    answer: (input, own) => weibullFit(input.observations, figuresFor('life', own)),
    explain(answer, _input, own) {
      if ('refused' in answer) return [`refused: ${answer.refused}`];
      const { shape, scale, events, n, shapeLow, shapeHigh } = answer;
      return [
        `${events} of ${n} failed`,
        `shape ${shape.toFixed(3)} (${100 * figuresFor('life', own).shapeConfidence} %: ${shapeLow.toFixed(3)} to ${shapeHigh.toFixed(3)}): ${ageInWords(shapeLow, shapeHigh)}`,
        `63.2 % have failed by ${Number(scale.toPrecision(6))}`,
      ];
    },
  }),
};

/** What the shape says of age: nothing yet, where its range holds both sides of 1. */
function ageInWords(low: number, high: number): string {
  if (low > 1) return 'they wear out: the older, the likelier to fail';
  if (high < 1) return 'they fail early';
  return 'the range holds 1, so whether age matters cannot be told yet';
}
