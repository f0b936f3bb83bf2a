import { z } from 'zod';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { lubricationInterval } from '../../domain/lubrication/interval.ts';
import { PLACES, SALTS, USES } from '../../domain/lubrication/keeping.ts';
import { climate } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

export const interval: Rule = {
  name: 'interval',
  does: 'Months between two lubrications, from how the car is kept and what was found.',
  takes:
    '{keeping: {place?, salt?, use?, foldsPerYear?}, stiffOrMissing?, unmovedDays?, climate?: as corrosion takes}',
  gives: '{months, class, because: the sum in words}',
  figures: ['interval'],
  trial: trialOf({
    input: z.strictObject({
      keeping: z.strictObject({
        place: z.enum(PLACES).nullable().default(null),
        salt: z.enum(SALTS).nullable().default(null),
        use: z.enum(USES).nullable().default(null),
        foldsPerYear: z.int().min(0).max(20_000).optional(),
      }),
      stiffOrMissing: z.boolean().optional(),
      unmovedDays: z.int().min(0).max(3660).optional(),
      climate: climate.optional(),
    }),
    answer: (input, own) => lubricationInterval(input, figuresFor('interval', own)),
    explain: ({ because }) => because,
  }),
};
