import { z } from 'zod';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { HOLE_USES, holeVerdict } from '../../domain/hardware/hole.ts';
import { THREADS } from '../../domain/hardware/iso-sizes.ts';
import { invalid } from '../../domain/refusal.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

export const hole: Rule = {
  name: 'hole',
  does: 'The verdict on a worn hole: a pivot by play and out-of-round, a fixing against ISO 273.',
  takes:
    '{thread: M5 … M12, diametersMm: [a, b] across two directions at right angles, use?: pivot | fixing}',
  gives: '{use, verdict, largestMm, limitsMm, playMm, outOfRoundMm, because}',
  // The bush that it names goes by the figures of repair-hole, where they are listed.
  figures: ['hole'],
  trial: trialOf({
    input: z.strictObject({
      thread: z.enum(THREADS),
      diametersMm: z.tuple([z.number(), z.number()]),
      use: z.enum(HOLE_USES).optional(),
    }),
    answer(input, own) {
      const judged = holeVerdict(input, figuresFor('hole', own), figuresFor('bush', own));
      if ('refused' in judged) {
        throw invalid('#/diametersMm', judged.refused.replace(/^diametersMm: /, 'Give '));
      }
      return judged;
    },
    explain: ({ because, verdict }) => [
      because,
      `${verdict}: the steps are a shop rule, only the hole sizes are published`,
    ],
  }),
};
