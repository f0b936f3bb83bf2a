import { z } from 'zod';
import { CALL_OUTCOMES } from '../../../domain/calls/earlier-calls.ts';
import { WAYS } from '../../../domain/calls/way.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { logCall } from '../../../usecases/day/log-call.ts';
import { readCalls } from '../../../usecases/day/read-calls.ts';
import { caller } from '../../gate/keys.ts';
import { id, prose } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals, refusals } from '../../gate/routes.ts';

const outcome = z.enum(CALL_OUTCOMES);
const item = z.object({
  carId: id,
  topId: id,
  registration: z.string(),
  ownerId: id,
  ownerName: z.string(),
  phone: z.string().nullable(),
  way: z.enum(WAYS).meta({
    description: 'How the owner is spoken to: in writing where no number is noted.',
  }),
  mustStay: z.boolean().meta({
    description: 'The top must not be moved. Such cars come first until the repair is booked.',
  }),
  score: z.number().nullable().meta({
    description: 'Bench hours that a minute of the deed is expected to save; null for mustStay.',
  }),
  chance: z.number().meta({ description: 'Chance of any damage in the next eight weeks.' }),
  lossHours: z.number().meta({ description: 'Hours to be expected if nothing is done.' }),
  savesHours: z.number().meta({ description: 'Of these, what the deed saves.' }),
  afterCalls: z.number().meta({ description: 'Share of the score left after calls made.' }),
  deed: z.string().meta({ description: 'The one thing to do.' }),
  minutes: z.number().meta({ description: 'Minutes of the shop that the deed takes.' }),
  dueOn: z.string(),
  lastCall: z.object({ on: z.string(), outcome }).nullable(),
  causes: z.array(
    z.object({
      kind: z.string(),
      damage: z.string(),
      words: z.string(),
      chance: z.number(),
      costHours: z.number(),
    }),
  ),
  reason: z.string(),
});
const outcomes = z.array(
  z.object({
    cause: z.string(),
    spans: z.number(),
    seen: z.int(),
    shopRule: z.number(),
    used: z.number(),
    isOwn: z.boolean(),
    words: z.string(),
  }),
);
const list = z
  .object({
    items: z.array(item),
    next: z.string().nullable(),
    inAll: z.int(),
    because: z.array(z.string()),
    outcomes,
  })
  .meta({ id: 'CallList', description: 'Whom to ring first, and why.' });
const logged = z
  .object({
    id,
    carId: id,
    ownerId: id,
    on: z.string(),
    outcome,
    notes: z.string().nullable(),
    recordedAt: z.string(),
  })
  .meta({ id: 'Call' });

/** The call list and the calls made. */
export function callRoutes(app: Routes, context: Context): void {
  const tags = ['calls'];
  app.get(
    '/calls',
    {
      schema: {
        tags,
        summary: 'Whom to ring first, with the reason in one line',
        querystring: z.strictObject({
          limit: z.coerce.number().int().min(1).max(200).default(20),
          after: z.string().optional(),
        }),
        response: { 200: list, ...refusals },
      },
    },
    (request) => readCalls(context, caller(request), request.query),
  );
  app.post(
    '/calls',
    {
      schema: {
        tags,
        summary: 'Log a call made today and what came of it',
        body: z.strictObject({ carId: id, outcome, notes: prose(1000).optional() }),
        response: { 201: logged, ...recordRefusals },
      },
    },
    (request, reply) => {
      reply.code(201);
      return logCall(context, caller(request), request.body);
    },
  );
}
