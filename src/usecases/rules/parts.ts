import { z } from 'zod';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { partsNeeded } from '../../domain/parts/poisson-binomial.ts';
import { MOST_ROWS } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const between = 'Give a share between 0 and 1, both excluded.';

export const parts: Rule = {
  name: 'parts',
  does: 'How many of a part to have so that the need is met with a chance (Poisson-binomial, exact).',
  takes: '{chances: [chance that each visit needs one], service?: 0.95}',
  gives: '{expected, quantity: the fewest with P(need ≤ quantity) ≥ service}',
  figures: ['parts'],
  trial: trialOf({
    input: z.strictObject({
      chances: z.array(z.number().min(0).max(1)).max(MOST_ROWS),
      service: z.number().gt(0, between).lt(1, between).optional(),
    }),
    answer: ({ chances, service }, own) =>
      partsNeeded({ chances, service: service ?? figuresFor('parts', own).service }),
    explain: ({ expected, quantity }, { chances, service }, own) => [
      `${chances.length} chances add up to ${expected.toFixed(2)} expected`,
      enoughInWords(quantity, service ?? figuresFor('parts', own).service),
    ],
  }),
};

function enoughInWords(quantity: number, service: number): string {
  return quantity === 0
    ? `none needs to be in stock: nobody asks for one with a chance of at least ${service}`
    : `${quantity} ${quantity === 1 ? 'is' : 'are'} enough with a chance of at least ${service}; one fewer is not`;
}
