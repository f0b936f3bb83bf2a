import { z } from 'zod';
import { isDay } from '../../domain/calendar/day.ts';
import { callOrder as callOrderRule } from '../../domain/calls/call-order.ts';
import { CALL_OUTCOMES } from '../../domain/calls/earlier-calls.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { MOVE_FINDINGS } from '../../domain/may-move/move-findings.ts';
import { PIVOT_STATES, VERDICTS } from '../../domain/pivots/state.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const day = z.string().refine(isDay, 'Give a day as YYYY-MM-DD.');

const car = z.strictObject({
  carId: z.string().min(1).max(64),
  stateWords: z
    .array(z.strictObject({ pivot: z.string().max(20), state: z.enum(PIVOT_STATES) }))
    .default([]),
  missingWashers: z.int().min(0).max(100).default(0),
  overdueDays: z.number().min(-10_000).max(10_000).default(0),
  foldedOverDays: z.number().min(-10_000).max(10_000).default(0),
  damp: z.boolean().default(false),
  washerLifeChance: z.number().min(0).max(1).optional(),
  notLookedAtDays: z.int().min(0).max(10_000).nullable().optional(),
  frame: z.enum(VERDICTS).nullable().optional(),
  faults: z.array(z.string().max(60)).optional(),
  agreed: z
    .array(z.strictObject({ fault: z.string().max(60), pivot: z.string().max(20).nullable() }))
    .optional(),
  oilMinutes: z.number().positive().max(1_000).default(105),
  visitBooked: z.boolean().default(false),
  mustStay: z.boolean().optional(),
  refusedCalls: z.boolean().default(false),
  lastCalls: z.array(z.strictObject({ on: day, outcome: z.enum(CALL_OUTCOMES) })).default([]),
});

export const callOrder: Rule = {
  name: 'call-order',
  does: 'Whom to ring first and for what: the deed that saves most hours a minute, for each car.',
  takes:
    '{today, cars: [{carId, foldedOverDays?, damp?, overdueDays?, stateWords?, missingWashers?, notLookedAtDays?, frame?, faults?, agreed?, mustStay?, visitBooked?, …}]}',
  gives: '{calls: [{carId, deed, minutes, savesHours, lossHours, score, chance, causes, reason}]}',
  figures: ['calls'],
  trial: trialOf({
    input: z.strictObject({ today: day, cars: z.array(car).max(1_000) }),
    answer: ({ today, cars }, own) => ({
      calls: callOrderRule(
        cars.map((one) => ({ ...one, ownerId: one.carId, mustStay: mustStay(one) })),
        today,
        figuresFor('calls', own),
      ).map(({ carId, deed, causes, ...item }) => ({
        carId,
        deed: deed.words,
        minutes: deed.minutes,
        cures: deed.cures.map(({ kind }) => kind),
        savesHours: item.savesHours,
        lossHours: item.lossHours,
        score: item.score,
        chance: item.chance,
        afterCalls: item.afterCalls,
        causes,
        reason: item.reason,
      })),
    }),
    explain: ({ calls }, { cars }) => [
      ...cars
        .filter(mustStay)
        .map(
          ({ carId }) =>
            `${carId}: first of all, its top must not be moved: say so and agree on a day for the repair`,
        ),
      ...calls.map(({ carId, reason }) => `${carId}: ${reason}`),
      ...(calls.length === 0 && !cars.some(mustStay) ? ['nobody has to be rung'] : []),
      'chances, costs and minutes are shop rules; a damage counts once',
    ],
  }),
};

/** What was said of it, else what its findings forbid: nobody is asked to raise a top that must stay. */
function mustStay({ mustStay: said, faults = [] }: z.infer<typeof car>): boolean {
  return said ?? faults.some((fault) => MOVE_FINDINGS[fault] === 'leave');
}
