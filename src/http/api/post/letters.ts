import { z } from 'zod';
import { addMonths } from '../../../domain/calendar/day.ts';
import { invalid } from '../../../domain/refusal.ts';
import { LETTER_KINDS } from '../../../domain/round/letter-kind.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { FATES, tellLetterFate } from '../../../usecases/delivery/tell-fate.ts';
import { forecast } from '../../../usecases/round/forecast.ts';
import { holdOwnRound } from '../../../usecases/round/hold-own-round.ts';
import { LETTER_STATES, listLetters, showLetter } from '../../../usecases/letters/read-letters.ts';
import { caller } from '../../gate/keys.ts';
import { day, id, idParams, instant, pageOf, pageQuery } from '../../gate/shapes.ts';
import { sendLong } from '../../gate/long-answer.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals, refusals } from '../../gate/routes.ts';

const letter = z
  .object({
    id,
    kind: z.enum(LETTER_KINDS),
    state: z.enum(LETTER_STATES),
    cancelledWhy: z.string().nullable(),
    ownerId: id,
    carIds: z.array(id),
    to: z.object({ name: z.string(), address: z.string() }),
    language: z.string(),
    subject: z.string(),
    text: z.string(),
    html: z.string(),
    messageId: z.string(),
    date: z.string(),
    plannedAt: z.string(),
    notBefore: z.string(),
    attempts: z.int(),
    nextTryAt: z.string().nullable(),
    settledAt: z.string().nullable(),
    response: z.string().nullable(),
    fault: z.string().nullable(),
  })
  .meta({ id: 'Letter', description: 'One e-mail to one owner, stored whole.' });

const told = z.object({
  id,
  state: z.enum(LETTER_STATES),
  nextTryAt: z.string().nullable(),
});

const round = z
  .object({
    at: z.string(),
    dryRun: z.boolean(),
    planned: z.int(),
    cancelled: z.int(),
    letters: z.array(letter),
    cancelledIds: z.array(id),
    setAside: z.int().meta({
      description: 'Owners whose records are damaged: nothing was decided for them. See today.',
    }),
  })
  .meta({ id: 'Round' });

const forecastItem = z
  .object({
    kind: z.enum(LETTER_KINDS),
    ownerId: id,
    carIds: z.array(id),
    on: z.string(),
  })
  .meta({ id: 'ForecastItem' });

const LONGEST_FORECAST_MONTHS = 120;

/** Letters, the round that writes them, and what it will write. */
export function letterRoutes(app: Routes, context: Context): void {
  const tags = ['letters'];
  app.get(
    '/letters',
    {
      schema: {
        tags,
        summary: 'List letters',
        querystring: pageQuery.extend({
          state: z.enum(LETTER_STATES).optional(),
          carId: id.optional(),
        }),
        response: { 200: pageOf(letter), ...refusals },
      },
    },
    (request) => listLetters(context, caller(request), request.query),
  );
  app.get(
    '/letters/:id',
    {
      schema: {
        tags,
        summary: 'Show a letter',
        params: idParams,
        response: { 200: letter, ...refusals },
      },
    },
    (request) => showLetter(context, caller(request), request.params.id),
  );
  app.post(
    '/letters/:id/fate',
    {
      schema: {
        tags,
        summary: 'Say what is to become of a letter that may or may not have arrived',
        params: idParams,
        body: z.strictObject({ fate: z.enum(FATES) }),
        response: { 200: told, ...recordRefusals },
      },
    },
    (request) => tellLetterFate(context, caller(request), request.params.id, request.body.fate),
  );
  app.post(
    '/round',
    {
      config: { answersApart: true },
      schema: {
        tags,
        summary: 'Hold the round over your own cars now, or at another instant, or dry',
        body: z.strictObject({ at: instant.optional(), dryRun: z.boolean().optional() }).nullish(),
        response: { 200: round, ...recordRefusals },
      },
    },
    (request) => holdOwnRound(context, caller(request), request.body ?? {}),
  );
  app.get(
    '/forecast',
    {
      schema: {
        tags,
        summary: 'The letters that would be written if nothing else happened',
        querystring: z.strictObject({ from: day.optional(), to: day.optional() }),
        response: { 200: z.object({ items: z.array(forecastItem) }), ...refusals },
      },
    },
    async (request, reply) => {
      const today = context.now().slice(0, 10);
      const { from = today, to = addMonths(from, 12) } = request.query;
      if (to < from) throw invalid('to', 'The range ends before it begins. Swap from and to.');
      if (to > addMonths(today, LONGEST_FORECAST_MONTHS)) {
        throw invalid('to', 'A forecast reaches ten years at most.');
      }
      return sendLong(reply, await forecast(context, caller(request), { from, to }));
    },
  );
}
