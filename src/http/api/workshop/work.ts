import { z } from 'zod';
import type { Context } from '../../../usecases/context/context.ts';
import { signIds } from '../../../usecases/rules/fault-finding.ts';
import { planRecordOf } from '../../../usecases/workshop/find-faults.ts';
import { readOpenWork } from '../../../usecases/workshop/open-work.ts';
import { planWork } from '../../../usecases/workshop/plan-work.ts';
import { takeBackPlan } from '../../../usecases/workshop/take-back-plan.ts';
import { visit } from '../records/visits.ts';
import { caller } from '../../gate/keys.ts';
import { id, idParams, line } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals, refusals } from '../../gate/routes.ts';
import { workPlan } from './faults.ts';

const plannedWork = z.strictObject({
  seen: signIds,
  ruledOut: signIds.optional(),
  work: z
    .array(
      z.strictObject({ fault: line(60), pivots: z.array(line(20)).max(60).optional() }).meta({
        description: 'A cause that is proven or stands clear, and the joints it was found at.',
      }),
    )
    .max(45),
  accepted: z.boolean().optional().meta({ description: 'The owner agreed: parts are ordered.' }),
  tellOwner: z.boolean().optional().meta({ description: 'Write the owner a report.' }),
});
const openWork = z
  .object({
    plan: workPlan,
    findings: z.array(
      z.object({
        id,
        visitId: id,
        fault: z.string().nullable(),
        pivot: z.string().nullable(),
        text: z.string(),
        advised: z.string(),
        accepted: z.boolean(),
        on: z.string(),
      }),
    ),
    parts: z.array(
      z.object({
        label: z.string(),
        quantity: z.number(),
        agreed: z.number(),
        inHand: z.number(),
        onOrder: z.number(),
      }),
    ),
    read: z
      .array(z.object({ fault: z.string(), pivot: z.string(), on: z.string() }))
      .meta({ description: 'Joints whose last reading asks for work that no finding names.' }),
    nextVisitId: id.nullable(),
  })
  .meta({ id: 'OpenWork' });

/** What fault finding came to at one car, and all work that is open on it. */
export function workRoutes(app: Routes, context: Context): void {
  const tags = ['fault finding'];
  app.get(
    '/cars/:id/work',
    {
      schema: {
        tags,
        summary: 'The work that is open on a car, in the order in which it is done',
        params: idParams,
        response: { 200: openWork, ...refusals },
      },
    },
    async (request) => {
      const { plan, findings, read, parts, next } = await readOpenWork(
        context,
        caller(request),
        request.params.id,
      );
      return {
        plan: planRecordOf(plan),
        findings: [...findings],
        read: [...read],
        parts: [...parts],
        nextVisitId: next?.id ?? null,
      };
    },
  );
  app.post(
    '/cars/:id/work',
    {
      schema: {
        tags,
        summary: 'Record what fault finding came to, as a look of today with its findings',
        params: idParams,
        body: plannedWork,
        response: { 201: visit, ...recordRefusals },
      },
    },
    async (request, reply) => {
      const { accepted = false, tellOwner = false, ...asked } = request.body;
      const choice = { ...asked, accepted, tellOwner };
      reply.code(201);
      return planWork(context, caller(request), request.params.id, choice);
    },
  );
  app.post(
    '/visits/:id/take-back',
    {
      schema: {
        tags,
        summary: 'Take back a look that such work was recorded as, with its findings',
        params: idParams,
        response: { 200: z.object({ carId: id }), ...recordRefusals },
      },
    },
    (request) => takeBackPlan(context, caller(request), request.params.id),
  );
}
