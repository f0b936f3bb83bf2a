import { mayMoveShape } from '../../gate/move-shape.ts';
import { z } from 'zod';
import { POSITIONS } from '../../../domain/folding/position-log.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { logPosition, withdrawEntry } from '../../../usecases/cars/log-position.ts';
import { listLog, listSpells, showPosition } from '../../../usecases/cars/read-position.ts';
import { caller } from '../../gate/keys.ts';
import { id, idParams, instant, pageOf, pageQuery } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals, refusals } from '../../gate/routes.ts';

const newEntry = z.strictObject({
  position: z.enum(POSITIONS),
  at: instant,
  damp: z.boolean().optional().meta({
    description: 'Folded damp, or put up while still damp. Raised and not damp: dry now.',
  }),
  coverOn: z.boolean().optional(),
});
const entry = z
  .object({
    id,
    position: z.enum(POSITIONS),
    at: z.string(),
    damp: z.boolean(),
    coverOn: z.boolean().nullable(),
    recordedAt: z.string(),
    withdrawnAt: z.string().nullable(),
  })
  .meta({ id: 'PositionEntry' });
const clock = z
  .object({
    position: z.enum(POSITIONS).nullable(),
    since: z.string().nullable(),
    stretch: z
      .object({
        startedAt: z.string(),
        limitDays: z.number(),
        nearingAt: z.string(),
        overAt: z.string(),
        state: z.enum(['within', 'nearing', 'over']),
      })
      .nullable(),
    restsFrom: z.string().optional().meta({
      description: 'Put up damp and taken as not dry yet: from then on it counts as resting.',
    }),
    mayMove: mayMoveShape,
  })
  .meta({
    id: 'FoldedClock',
    description: 'Where the top is, and its folded stretch against the limit.',
  });
const spellList = z
  .object({
    items: z.array(z.object({ position: z.enum(POSITIONS), from: z.string(), to: z.string() })),
    longestFoldedHours: z.number(),
    foldedHours: z.number(),
  })
  .meta({ id: 'Spells' });

/** The position log of a car and what follows from it. */
export function positionRoutes(app: Routes, context: Context): void {
  const tags = ['position'];
  const recorder = (request: Parameters<typeof caller>[0]) => {
    const { organisationId, author } = caller(request);
    return { organisationId, by: author.id };
  };
  app.post(
    '/cars/:id/position',
    {
      schema: {
        tags,
        summary: 'Log that the top was folded or raised',
        params: idParams,
        body: newEntry,
        response: { 201: entry, ...recordRefusals },
      },
    },
    (request, reply) => {
      reply.code(201);
      return logPosition(context, recorder(request), request.params.id, request.body);
    },
  );
  app.get(
    '/cars/:id/position',
    {
      schema: {
        tags,
        summary: 'Where the top is at an instant, and how long is left',
        params: idParams,
        querystring: z.strictObject({ at: instant.optional() }),
        response: { 200: clock, ...refusals },
      },
    },
    (request) => showPosition(context, caller(request), request.params.id, request.query.at),
  );
  app.get(
    '/cars/:id/position-log',
    {
      schema: {
        tags,
        summary: 'Every entry of the log, withdrawn ones too, oldest first',
        params: idParams,
        querystring: pageQuery,
        response: { 200: pageOf(entry), ...refusals },
      },
    },
    (request) => listLog(context, caller(request), request.params.id, request.query),
  );
  app.post(
    '/cars/:id/position-log/:entryId/withdraw',
    {
      schema: {
        tags,
        summary: 'Withdraw a wrong entry; it stays in the log',
        params: z.strictObject({ id, entryId: id }),
        body: z.strictObject({}).nullish(),
        response: { 200: entry, ...recordRefusals },
      },
    },
    (request) =>
      withdrawEntry(context, recorder(request), request.params.id, request.params.entryId),
  );
  app.get(
    '/cars/:id/spells',
    {
      schema: {
        tags,
        summary: 'The spells between two instants',
        params: idParams,
        querystring: z.strictObject({ from: instant.optional(), to: instant.optional() }),
        response: { 200: spellList, ...refusals },
      },
    },
    (request) => listSpells(context, caller(request), request.params.id, request.query),
  );
}
