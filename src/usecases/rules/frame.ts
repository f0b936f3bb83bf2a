import { z } from 'zod';
import { isDay } from '../../domain/calendar/day.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { frameReport } from '../../domain/frame/frame-report.ts';
import { PIVOT_KINDS } from '../../domain/pivots/frame-patterns.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const day = z.string().refine(isDay, 'Give a day as YYYY-MM-DD.');
const mm = z.number().min(0).max(10_000);

export const frame: Rule = {
  name: 'frame',
  does: 'What sway, diagonals and breakaway force say of a frame, and which joint explains how much.',
  takes:
    '{fittedOn, today, readings: [{doneOn, swayMm?, diagonalsMm?, breakawayN?, oneSideLags?}], gaps?: [{pivot, kind, gapMm, leverMm?, washerFaceMm?}], repairedOn?}',
  gives:
    '{verdict, because, sway, diagonals, breakaway, share: {joints, explainedMm, unexplainedMm}, twist, missing}',
  figures: ['frame'],
  trial: trialOf({
    input: z.strictObject({
      fittedOn: day,
      today: day,
      repairedOn: day.optional(),
      readings: z.array(
        z.strictObject({
          doneOn: day,
          swayMm: mm.optional(),
          diagonalsMm: z.strictObject({ left: mm, right: mm }).optional(),
          breakawayN: z.number().positive().max(10_000).optional(),
          oneSideLags: z.boolean().optional(),
        }),
      ),
      gaps: z
        .array(
          z.strictObject({
            pivot: z.string().regex(/^[LR]-[A-Z0-9-]+$/, 'Give a code such as L-LINK1.'),
            kind: z.enum(PIVOT_KINDS),
            gapMm: z.number().min(0).max(100),
            leverMm: mm.optional(),
            washerFaceMm: z.number().positive().max(1_000).optional(),
          }),
        )
        .default([]),
    }),
    answer: (input, own) => frameReport({ ...input, figures: figuresFor('frame', own) }),
    explain: ({ because, missing, verdict }) => [
      ...because,
      ...missing.map((what) => `not measured: ${what}`),
      verdict === null ? 'nothing measured: no verdict' : `${verdict}: the limits are shop rules`,
    ],
  }),
};
