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
      const wear = shape > 1 ? 'they wear out' : shape < 1 ? 'they fail early' : 'by chance alone';
      return [
        `${events} of ${n} failed`,
        `shape ${shape} (${100 * figuresFor('life', own).shapeConfidence} %: ${shapeLow} to ${shapeHigh}): ${wear}`,
        `63.2 % have failed by ${scale}`,
      ];
    },
  }),
};
