import { z } from 'zod';
import { kaplanMeier } from '../../domain/life/kaplan-meier.ts';
import { observations } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

export const survival: Rule = {
  name: 'survival',
  does: "Share still sound after a time, lives still running counted right (Kaplan-Meier, Greenwood's error).",
  takes: '{observations: [{time, event: true where it failed then}]}',
  gives: '{steps: [{time, atRisk, events, survival, standardError}], median: time or null}',
  figures: [],
  trial: trialOf({
    input: z.strictObject({
      observations: observations(z.number().min(0, 'A time cannot be negative.')),
    }),
    answer(input) {
      const { steps, median } = kaplanMeier(input.observations);
      return { steps, median };
    },
    explain: ({ steps, median }) => [
      ...steps.map(
        ({ time, atRisk, events, survival: left }) =>
          `at ${time}: ${events} of ${atRisk} failed, ${(100 * left).toFixed(1)} % are left`,
      ),
      median === null ? 'more than half are left at the end' : `half are left at ${median}`,
    ],
  }),
};
