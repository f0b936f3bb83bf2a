import { z } from 'zod';
import { PIVOT_STATES } from '../../../domain/pivots/state.ts';
import { changeVisit } from '../../../usecases/visits/change-visit.ts';
import { correctVisit, withdrawVisit } from '../../../usecases/visits/correct-visit.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { listVisits, showVisit } from '../../../usecases/visits/read-visits.ts';
import {
  diagonalMm,
  findingFields,
  readingFields,
  visitMeasures,
} from '../../../usecases/records/record-fields.ts';
import { recordVisit } from '../../../usecases/visits/record-visit.ts';
import {
  FINDING_OUTCOMES,
  VISIT_KINDS,
  VISIT_STATES,
} from '../../../usecases/own/visit-records.ts';
import { created, tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { day, id, idParams, line, pageOf, pageQuery, version } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, recordRefusals, refusals } from '../../gate/routes.ts';

const newReading = z.strictObject({
  pivot: line(20).meta({ example: 'L-MAIN' }),
  ...readingFields,
});
const newFinding = z.strictObject(findingFields);
const { minutes, swayMm, breakawayN, notes } = visitMeasures;
const work = {
  minutes,
  readings: z.array(newReading).max(60).optional(),
  swayMm,
  diagonalsMm: z.strictObject({ left: diagonalMm, right: diagonalMm }).optional(),
  breakawayN,
  findings: z.array(newFinding).max(60).optional(),
  notes,
};
const newVisit = z.strictObject({
  kind: z.enum(VISIT_KINDS),
  doneOn: day.optional(),
  plannedOn: day.optional(),
  ...work,
});
const visitChange = z.strictObject({
  kind: z.enum(VISIT_KINDS).optional(),
  plannedOn: day.optional(),
  doneOn: day.optional(),
  state: z.enum(['booked', 'missed', 'cancelled']).optional(),
  ...work,
});

const correction = z.strictObject({
  kind: z.enum(VISIT_KINDS),
  doneOn: day,
  ...work,
  findings: z
    .array(newFinding.extend({ id: id.optional() }))
    .max(60)
    .optional(),
});

export const visit = z
  .object({
    id,
    topId: id,
    carId: id,
    kind: z.enum(VISIT_KINDS),
    state: z.enum(VISIT_STATES),
    plannedOn: z.string().nullable(),
    dropOffAt: z.string().nullable().meta({ description: 'When the car is to be brought.' }),
    readyAt: z.string().nullable().meta({ description: 'From when on it can be fetched.' }),
    doneOn: z.string().nullable(),
    minutes: z.int().nullable(),
    swayMm: z.number().nullable(),
    diagonalsMm: z.object({ left: z.number(), right: z.number() }).nullable(),
    breakawayN: z.number().nullable(),
    notes: z.string().nullable(),
    readings: z.array(
      z.object({
        pivot: z.string(),
        state: z.enum(PIVOT_STATES),
        oiled: z.boolean(),
        repaired: z.boolean(),
        lubricant: z.string().nullable(),
        washersPresent: z.int().nullable(),
        axialPlayMm: z.number().nullable(),
        radialPlayMm: z.number().nullable(),
      }),
    ),
    findings: z.array(
      z.object({
        id,
        fault: z.string().nullable(),
        pivot: z.string().nullable(),
        text: z.string(),
        advised: z.string().nullable(),
        outcome: z.enum(FINDING_OUTCOMES),
        decidedOn: z.string().nullable(),
      }),
    ),
    version,
  })
  .meta({ id: 'Visit', description: 'A visit with what was found at each pivot.' });

/** Visits: record, list, show, change. */
export function visitRoutes(app: Routes, context: Context): void {
  const tags = ['visits'];
  app.post(
    '/tops/:id/visits',
    {
      schema: {
        tags,
        summary:
          'Record a visit that took place (doneOn), or book one on a day with room (plannedOn)',
        description:
          'A done lubrication without readings says that the pivots were oiled on that day, from which the next is due, and nothing of how they were found. The last oilings of many cars come in at once with a table of cars, in its column "last oiled": on the page of tables, or by foldkeep import FILE.',
        params: idParams,
        body: newVisit,
        response: { 201: visit, ...recordRefusals },
      },
    },
    (request, reply) =>
      created(
        reply,
        '/v1/visits',
        recordVisit(context, caller(request), request.params.id, request.body),
      ),
  );
  app.get(
    '/tops/:id/visits',
    {
      schema: {
        tags,
        summary: 'List the visits of a top',
        params: idParams,
        querystring: pageQuery,
        response: { 200: pageOf(visit), ...refusals },
      },
    },
    (request) =>
      listVisits(context, caller(request), { topId: request.params.id, ...request.query }),
  );
  app.get(
    '/visits/:id',
    {
      schema: {
        tags,
        summary: 'Show a visit',
        params: idParams,
        response: { 200: visit, ...refusals },
      },
    },
    (request, reply) => tagged(reply, showVisit(context, caller(request), request.params.id)),
  );
  app.patch(
    '/visits/:id',
    {
      schema: {
        tags,
        summary:
          'Move a visit to a day with room, call it off, note that nobody came, or complete it',
        params: idParams,
        body: visitChange,
        response: { 200: visit, ...changeRefusals },
      },
    },
    async (request, reply) => {
      const { params, body } = request;
      return tagged(
        reply,
        changeVisit(context, caller(request), params.id, body, versionAsked(request)),
      );
    },
  );
  app.put(
    '/visits/:id/work',
    {
      schema: {
        tags,
        summary: 'Put a done visit right: day, kind, readings, measures and findings become these',
        params: idParams,
        body: correction,
        response: { 200: visit, ...changeRefusals },
      },
    },
    async (request, reply) => {
      const { params, body } = request;
      return tagged(
        reply,
        correctVisit(context, caller(request), params.id, body, versionAsked(request)),
      );
    },
  );
  app.post(
    '/visits/:id/withdraw',
    {
      schema: {
        tags,
        summary: 'Take a done visit back; what it said stays in the trail alone',
        params: idParams,
        response: { 200: visit, ...changeRefusals, ...recordRefusals },
      },
    },
    async (request, reply) =>
      tagged(
        reply,
        withdrawVisit(context, caller(request), request.params.id, versionAsked(request)),
      ),
  );
}
