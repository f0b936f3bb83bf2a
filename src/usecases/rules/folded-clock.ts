import { z } from 'zod';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { foldedClock as clockOf } from '../../domain/folding/clock.ts';
import { POSITIONS } from '../../domain/folding/position-log.ts';
import { instant, MOST_ROWS, zone } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

export const foldedClock: Rule = {
  name: 'folded-clock',
  does: 'How long a top has stood folded, against the limit of its handbook.',
  takes:
    '{zone, limitDays, entries: [{position, at, damp?, withdrawn?}], at}; entries in any order',
  gives:
    '{position, since, stretch: {startedAt, limitDays, nearingAt, overAt, state} or null, restsFrom? where it was put up damp}',
  figures: ['folding'],
  trial: trialOf({
    input: z.strictObject({
      zone,
      limitDays: z.int().min(1).max(365),
      entries: z
        .array(
          z.strictObject({
            position: z.enum(POSITIONS),
            at: instant,
            damp: z.boolean().optional(),
            withdrawn: z.boolean().optional(),
          }),
        )
        .max(MOST_ROWS),
      at: instant,
    }),
    answer: (input, own) => clockOf(input, figuresFor('folding', own)),
    explain({ position, since, stretch, restsFrom }, { zone: where, at, limitDays }, own) {
      const figures = figuresFor('folding', own);
      if (position === null || since === null) return [`nothing is logged up to ${at}`];
      const now = `${position} since ${since}, seen at ${at}`;
      if (stretch === null) {
        return position === 'folded-under-hard-top'
          ? [now, 'laid up under the hard top: no clock runs there']
          : [now, 'raised: no stretch runs'];
      }
      return [
        now,
        `the stretch began at ${stretch.startedAt}; a rest of ${figures.properRestHours} h raised would end it (shop rule), a shorter one pauses it`,
        restsFrom === undefined
          ? 'raised is taken as latched and dry, unless the log says damp'
          : `put up damp: it counts as resting from ${restsFrom}, ${figures.dryingHours} h after that was said (shop rule), or once it is said to be dry`,
        ...(stretch.limitDays < limitDays
          ? [
              `folded damp: ${inDays(stretch.limitDays)} from then (shop rule) instead of the ${limitDays} of the handbook`,
            ]
          : []),
        `${inDays(stretch.limitDays)} of the calendar in ${where}, at the same time of day, and the time rested: ${stretch.overAt}`,
        stretch.limitDays > figures.nearingDays
          ? `nearing from ${stretch.nearingAt}: ${inDays(figures.nearingDays)} before; it is ${stretch.state}`
          : `nearing from the beginning, ${stretch.nearingAt}; it is ${stretch.state}`,
        ...(position === 'raised'
          ? ['while it is raised, both of these move on with the clock']
          : []),
      ];
    },
  }),
};

function inDays(count: number): string {
  return count === 1 ? 'one day' : `${count} days`;
}
