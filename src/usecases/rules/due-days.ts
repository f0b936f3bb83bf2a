import { z } from 'zod';
import { dueDay, yearOf } from '../../domain/calendar/day.ts';
import { day } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const LAST_YEAR = 2200;

export const dueDays: Rule = {
  name: 'due-days',
  does: 'Due days counted from the anchor each time, clamped to the end of the month (RFC 7529, SKIP=BACKWARD).',
  takes: '{anchor: day, months: whole number from 1, count: whole number from 1}',
  gives: '{days: [anchor + n × months, n = 1 … count]}',
  figures: ['due'],
  trial: trialOf({
    input: z
      .strictObject({
        anchor: day,
        months: z.int().min(1).max(1200),
        count: z.int().min(1).max(3600),
      })
      .refine(({ anchor, months, count }) => yearOf(anchor) + (months * count) / 12 < LAST_YEAR, {
        path: ['count'],
        message: `These due days run past the year ${LAST_YEAR}. Give a smaller count.`,
      }),
    answer: ({ anchor, months, count }) => ({
      days: Array.from({ length: count }, (_, n) => dueDay(anchor, months, n + 1)),
    }),
    explain: ({ days }, { anchor, months }) =>
      days.map(
        (due, n) => `${anchor} + ${n + 1} × ${months} ${months === 1 ? 'month' : 'months'}: ${due}`,
      ),
  }),
};
