import { z } from 'zod';
import { kaplanMeier } from '../../domain/life/kaplan-meier.ts';
import { logRank } from '../../domain/life/log-rank.ts';
import { observations } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const lives = observations(z.number().min(0, 'A time cannot be negative.'));

export const survival: Rule = {
  name: 'survival',
  does: "Share still sound after a time where every life is dated (Kaplan-Meier, Greenwood's error); two groups by log-rank.",
  takes:
    '{observations: [{time, event: true where it failed then}], against?: another group to compare with, alike}',
  gives:
    '{steps: [{time, atRisk, events, survival, standardError}], median: time or null, comparison: null or {chiSquare, p, groups: [{n, observed, expected}], variance} or {refused, events}}',
  figures: [],
  trial: trialOf({
    input: z.strictObject({ observations: lives, against: lives.optional() }),
    answer(input) {
      const { steps, median } = kaplanMeier(input.observations);
      const { observations: first, against } = input;
      return {
        steps,
        median,
        comparison: against === undefined ? null : logRank(first, against),
      };
    },
    explain: ({ steps, median, comparison }, input) => [
      ...steps.map(
        ({ time, atRisk, events, survival: left, standardError }) =>
          `at ${time}: ${events} of ${atRisk} failed, ${(100 * left).toFixed(1)} % are left${errorInWords(left, standardError)}`,
      ),
      medianInWords(input.observations.length, steps.length, median),
      ...(comparison === null
        ? []
        : 'refused' in comparison
          ? [`not compared: ${comparison.refused}`]
          : [
              `log-rank chi-square ${comparison.chiSquare.toFixed(3)}, p ${comparison.p.toFixed(4)}`,
            ]),
    ],
  }),
};

function medianInWords(given: number, failures: number, median: number | null): string {
  if (given === 0) return 'no life was given: nothing can be said';
  if (failures === 0) return 'none failed: all were still sound when they were last seen';
  if (median === null) return 'more than half are left at the last failure: no middle can be named';
  return `the first time at which half or fewer are left: ${median}`;
}

/** Greenwood's formula has no value once nothing is left. */
function errorInWords(left: number, standardError: number): string {
  return left === 0 ? '' : `, give or take ${(100 * standardError).toFixed(1)} (standard error)`;
}
