import { z } from 'zod';
import type { Day } from '../../domain/calendar/day.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { LookFigures } from '../../domain/lubrication/look-again.ts';
import { lookAsked, lookDue, notLookedAtDays } from '../../domain/lubrication/look-again.ts';
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
    explain: ({ look }, { readings, visits, oilDueOn, today }, own) =>
      look === null
        ? [whyNone(lookAsked(readings, visits), { oilDueOn, today }, figuresFor('look', own))]
        : [
            `a joint was stiff or was repaired on ${look.since}`,
            `look again from ${look.windowFrom} to ${look.windowTo}, best on ${look.dueOn}: ${look.state}`,
            'the weeks are a shop rule',
          ],
  }),
};

function whyNone(
  since: Day | null,
  days: { readonly oilDueOn: Day; readonly today: Day },
  figures: LookFigures,
): string {
  if (since === null) return 'no joint that was stiff or was repaired waits to be looked at again';
  const waits = `a joint was stiff or was repaired on ${since} and was not looked at since`;
  return notLookedAtDays({ since, ...days }, figures) === null
    ? `${waits}: the oiling due on ${days.oilDueOn} takes the place of the look`
    : `${waits}: so late that no letter asks for it any more, only a call helps`;
}
