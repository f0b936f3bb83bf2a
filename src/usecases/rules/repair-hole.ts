import { z } from 'zod';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { holeRepair } from '../../domain/hardware/bush.ts';
import { holeVerdict } from '../../domain/hardware/hole.ts';
import { sizeWithFit } from '../../domain/hardware/iso-fits.ts';
import { THREADS } from '../../domain/hardware/iso-sizes.ts';
import { invalid } from '../../domain/refusal.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

export const repairHole: Rule = {
  name: 'repair-hole',
  does: 'The repair of a worn hole, sized from it: reamer, bush and fits, or weld and drill anew.',
  takes: '{thread: M5 … M12, diametersMm: [a, b], leafWidthMm?}',
  gives:
    '{verdict, because, repair: {how: bush, reamMm, outsideMm, insideMm, wallMm, …} | {how: weld, because}}',
  figures: ['bush', 'hole'],
  trial: trialOf({
    input: z.strictObject({
      thread: z.enum(THREADS),
      diametersMm: z.tuple([z.number(), z.number()]),
      leafWidthMm: z.number().positive().max(200).optional(),
    }),
    answer({ thread, diametersMm, leafWidthMm }, own) {
      const bushes = figuresFor('bush', own);
      const judged = holeVerdict(
        { thread, diametersMm, leafWidthMm },
        figuresFor('hole', own),
        bushes,
      );
      if ('refused' in judged) {
        throw invalid('#/diametersMm', judged.refused.replace(/^diametersMm: /, 'Give '));
      }
      const { verdict, largestMm, playMm, outOfRoundMm, because } = judged;
      const repair = holeRepair({ thread, largestMm, outOfRoundMm, leafWidthMm }, bushes);
      return { verdict, because, playMm, outOfRoundMm, repair };
    },
    explain: ({ verdict, because, repair }) => [
      because,
      verdict === 'good' || verdict === 'watch'
        ? `If it is repaired all the same: ${repair.because}`
        : repair.because,
      ...(repair.how === 'bush'
        ? [
            `hole ${sizeWithFit(repair.reamMm, 'H7')}, bush ${sizeWithFit(repair.outsideMm, 's6')} mm; fits of ISO 286-2`,
          ]
        : []),
      'which bush a leaf can take is a shop rule',
    ],
  }),
};
