import { z } from 'zod';
import { jamSentence, weeksInWords } from '../../domain/bench/hall.ts';
import { planBench } from '../../domain/bench/plan.ts';
import { MOST_ROWS } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const name = z.union([z.string().min(1).max(64), z.number()]);

export const benchLoad: Rule = {
  name: 'bench-load',
  does: 'Visits into weeks: most in their window, then least lateness, then fewest changed offers.',
  takes:
    '{weeks: [{id, capacity}], visits: [{id, places, earliest, latest, offered?, fixed?}]}; ids of weeks in order, places of half an hour, `fixed` for what is booked',
  gives:
    '{placed: [{id, week}], outside: [{id, week, or null where no room is left}], jams: [{from, to, need, room}], overbooked?: [{week, booked, capacity}], gap?: {bound, placed} where visits differ in length}',
  figures: ['bench'],
  trial: trialOf({
    input: z.strictObject({
      weeks: z.array(z.strictObject({ id: name, capacity: z.number() })).max(520),
      visits: z
        .array(
          z.strictObject({
            id: name,
            places: z.number(),
            earliest: name,
            latest: name,
            offered: name.optional(),
            fixed: name.optional(),
          }),
        )
        .max(MOST_ROWS),
    }),
    answer(input) {
      const plan = planBench(input);
      const lengths = new Set(input.visits.map(({ places }) => places));
      return {
        placed: plan.placed,
        outside: [
          ...plan.outside.map(({ id, week }) => ({ id, week })),
          ...plan.unplaced.map(({ id }) => ({ id, week: null })),
        ],
        jams: plan.jams,
        ...(plan.overbooked.length > 0 ? { overbooked: plan.overbooked } : {}),
        ...(lengths.size > 1 ? { gap: plan.gap, jamUnit: plan.jamUnit } : {}),
      };
    },
    explain: ({ placed, outside, jams, overbooked = [], gap, jamUnit }) => [
      `${placed.length} visits stand in their window, ${outside.length} do not`,
      ...(gap === undefined
        ? ['all take equal places, so no other plan does better']
        : [`no plan has more than ${gap.bound} in their window; this one has ${gap.placed}`]),
      ...jams.map((jam) => jamSentence(jam, jamUnit ?? 'visits')),
      ...overbooked.map(
        ({ week, booked, capacity }) =>
          `${weeksInWords(week, week)}: ${booked} half hours are booked, and it has ${capacity}; booked visits never move by themselves`,
      ),
    ],
  }),
};
