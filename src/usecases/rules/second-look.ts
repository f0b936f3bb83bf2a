import { z } from 'zod';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { lookAsked, lookDue } from '../../domain/lubrication/look-again.ts';
import { PIVOT_STATES } from '../../domain/pivots/state.ts';
import { day } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const MOST = 500;

export const secondLook: Rule = {
  name: 'second-look',
  does: 'When joints that were found stiff or were repaired are looked at again; a shop rule of four to eight weeks.',
  takes:
    '{readings: [{doneOn, state, repaired?}], the latest of each joint; visits: [{kind, doneOn, named?}]; oilDueOn, today: days}',
  gives: '{look: null | {since, dueOn, windowFrom, windowTo, state}}',
  figures: ['look'],
  trial: trialOf({
    input: z.strictObject({
      readings: z
        .array(
          z.strictObject({
            doneOn: day,
            state: z.enum(PIVOT_STATES),
            repaired: z.boolean().default(false),
          }),
        )
        .max(MOST),
      visits: z
        .array(
          z.strictObject({
            kind: z.enum(['look', 'repair']),
            doneOn: day,
            named: z.boolean().default(false),
          }),
        )
        .max(MOST)
        .default([]),
      oilDueOn: day,
      today: day,
    }),
    answer: ({ readings, visits, oilDueOn, today }, own) => ({
      look: lookDue(
        { since: lookAsked(readings, visits), oilDueOn, today },
        figuresFor('look', own),
      ),
    }),
    explain: ({ look }, { oilDueOn }) =>
      look === null
        ? [
            `no joint asks for a look now, or the oiling due on ${oilDueOn} takes its place, or it is so late that only a call helps`,
          ]
        : [
            `a joint was stiff or was repaired on ${look.since}`,
            `look again from ${look.windowFrom} to ${look.windowTo}, best on ${look.dueOn}: ${look.state}`,
            'the weeks are a shop rule',
          ],
  }),
};
