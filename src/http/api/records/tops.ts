import { mayMoveShape } from '../../gate/move-shape.ts';
import { z } from 'zod';
import type { Context } from '../../../usecases/context/context.ts';
import { changeTop, withdrawTop } from '../../../usecases/tops/correct-top.ts';
import { fitTop } from '../../../usecases/tops/fit-top.ts';
import { drawPattern, listPatterns } from '../../../usecases/tops/frame-patterns.ts';
import { listLooks } from '../../../usecases/tops/read-looks.ts';
import { listDue, listTops, showTop } from '../../../usecases/tops/read-tops.ts';
import {
  coverMaterial,
  orNull,
  patternName,
  patternPivotFields,
  topWords,
  warranties,
  windowKind,
} from '../../../usecases/records/record-fields.ts';
import { created, tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { day, id, idParams, pageOf, pageQuery, version } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, recordRefusals, refusals } from '../../gate/routes.ts';

const newTop = z.strictObject({
  carId: id,
  fittedOn: day,
  framePattern: patternName.meta({ example: 'four-seat-manual' }),
  cover: z.strictObject({ material: coverMaterial }),
  window: windowKind,
  powered: z.boolean().optional(),
  warranties: warranties.optional(),
  ...topWords,
});

const look = z
  .object({
    since: z.string(),
    dueOn: z.string(),
    windowFrom: z.string(),
    windowTo: z.string(),
    state: z.enum(['ahead', 'open', 'late']),
  })
  .meta({
    id: 'LookDue',
    description:
      'When joints that were found stiff or were repaired are looked at again. A shop rule.',
  });
const topChange = z
  .strictObject({
    fittedOn: day,
    cover: z.strictObject({ material: coverMaterial }),
    window: windowKind,
    powered: z.boolean(),
    warranties,
    ...orNull(topWords),
  })
  .partial();

export const lubrication = z
  .object({
    intervalMonths: z.int(),
    because: z.array(z.string()).meta({ description: 'The sum in words.' }),
    lastOn: z.string().nullable(),
    dueOn: z.string(),
    windowFrom: z.string(),
    windowTo: z.string(),
    state: z.enum(['ahead', 'open', 'late']),
  })
  .meta({ id: 'Lubrication', description: 'When the pivots must be oiled, and why then.' });

const pivot = z.object({
  code: z.string(),
  side: z.string(),
  kind: z.string(),
  washersExpected: z.int(),
});

export const top = z
  .object({
    id,
    carId: id,
    fittedOn: z.string(),
    retiredOn: z.string().nullable(),
    framePattern: z.string(),
    cover: z.object({ material: z.string() }),
    window: z.string(),
    powered: z.boolean(),
    coverName: z.string().nullable(),
    coverColour: z.string().nullable(),
    makersReference: z.string().nullable(),
    windowMade: z.string().nullable(),
    warranties: z.array(z.object({ part: z.string(), months: z.int(), endsOn: z.string() })),
    pivots: z.array(pivot),
    lubrication,
    look: look.nullable(),
    mayMove: mayMoveShape,
    version,
  })
  .meta({ id: 'Top', description: 'A fitted top with the pivots of its frame.' });

const due = z
  .object({
    topId: id,
    carId: id,
    ownerId: id,
    registration: z.string(),
    ownerName: z.string(),
    lubrication,
  })
  .meta({ id: 'Due' });

const lookDueTop = z
  .object({
    topId: id,
    carId: id,
    ownerId: id,
    registration: z.string(),
    ownerName: z.string(),
    look,
  })
  .meta({ id: 'TopToLookAt' });

const patternPivot = z.strictObject(patternPivotFields);
const newPattern = z.strictObject({
  name: patternName,
  pivots: z.array(patternPivot).min(1).max(60),
});
const pattern = z
  .object({
    name: z.string(),
    own: z.boolean(),
    pivots: z.array(pivot.extend({ pinMm: z.number(), x: z.number(), y: z.number() })),
  })
  .meta({ id: 'FramePattern' });

/** Tops, what is due, and frame patterns. */
export function topRoutes(app: Routes, context: Context): void {
  app.post(
    '/tops',
    {
      schema: {
        tags: ['tops'],
        summary: 'Record a fitted top; on a car that has one this is a re-cover',
        body: newTop,
        response: { 201: top, ...recordRefusals },
      },
    },
    (request, reply) => created(reply, '/v1/tops', fitTop(context, caller(request), request.body)),
  );
  app.get(
    '/tops',
    {
      schema: {
        tags: ['tops'],
        summary: 'List tops, retired ones too',
        querystring: pageQuery.extend({ carId: id.optional() }),
        response: { 200: pageOf(top), ...refusals },
      },
    },
    (request) => listTops(context, caller(request), request.query),
  );
  app.get(
    '/tops/:id',
    {
      schema: {
        tags: ['tops'],
        summary: 'Show a top',
        params: idParams,
        response: { 200: top, ...refusals },
      },
    },
    (request, reply) => tagged(reply, showTop(context, caller(request), request.params.id)),
  );
  app.patch(
    '/tops/:id',
    {
      schema: {
        tags: ['tops'],
        summary: 'Put a top right; its frame stays',
        params: idParams,
        body: topChange,
        response: { 200: top, ...changeRefusals },
      },
    },
    async (request, reply) => {
      const { params, body } = request;
      return tagged(
        reply,
        changeTop(context, caller(request), params.id, body, versionAsked(request)),
      );
    },
  );
  app.post(
    '/tops/:id/withdraw',
    {
      schema: {
        tags: ['tops'],
        summary:
          'Take back a top that was recorded by mistake; the one before it is on the car again',
        params: idParams,
        response: { 200: top, ...changeRefusals, ...recordRefusals },
      },
    },
    async (request, reply) =>
      tagged(
        reply,
        withdrawTop(context, caller(request), request.params.id, versionAsked(request)),
      ),
  );
  app.get(
    '/due',
    {
      schema: {
        tags: ['tops'],
        summary: 'Tops that are due by a day, soonest first',
        querystring: pageQuery.extend({ until: day.optional() }),
        response: { 200: pageOf(due), ...refusals },
      },
    },
    (request) => {
      const { until = context.now().slice(0, 10), ...page } = request.query;
      return listDue(context, caller(request), { until, ...page });
    },
  );
  app.get(
    '/looks',
    {
      schema: {
        tags: ['tops'],
        summary: 'Tops that are due for a second look by a day and not booked, soonest first',
        querystring: pageQuery.extend({ until: day.optional() }),
        response: { 200: pageOf(lookDueTop), ...refusals },
      },
    },
    (request) => {
      const { until = context.now().slice(0, 10), ...page } = request.query;
      return listLooks(context, caller(request), { until, ...page });
    },
  );
  app.get(
    '/frame-patterns',
    {
      schema: {
        tags: ['frame patterns'],
        summary: 'The built-in frame patterns and your own',
        response: { 200: z.object({ items: z.array(pattern) }), ...refusals },
      },
    },
    async (request) => ({
      items: (await listPatterns(context, caller(request))).map((record) => ({
        ...record,
        pivots: [...record.pivots],
      })),
    }),
  );
  app.post(
    '/frame-patterns',
    {
      schema: {
        tags: ['frame patterns'],
        summary: 'Draw a frame pattern of your own',
        body: newPattern,
        response: { 201: pattern, ...recordRefusals },
      },
    },
    async (request, reply) => {
      const record = await drawPattern(context, caller(request), request.body);
      reply.code(201);
      return { ...record, pivots: [...record.pivots] };
    },
  );
}
