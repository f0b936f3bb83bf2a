import { z } from 'zod';
import { STAGES } from '../../../domain/faults/work-rows.ts';
import { PARTS } from '../../../domain/parts/kits.ts';
import { signIds, topTraits } from '../../../usecases/rules/fault-finding.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { findCauses, listFaults, listSigns } from '../../../usecases/workshop/find-faults.ts';
import { caller } from '../../gate/keys.ts';
import { caution, wording } from '../records/cautions.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals, refusals } from '../../gate/routes.ts';
import { mark } from '../records/rules.ts';

const sign = z
  .object({
    id: z.string(),
    place: z.string(),
    text: z.string(),
    how: z.string().nullable(),
    moves: z.boolean(),
  })
  .meta({ id: 'Sign', description: 'Seen at a look, or the positive result of a check (how).' });
const sourced = z.object({ mark, source: z.string() });
const fault = z
  .object({
    id: z.string(),
    item: z.string(),
    sign: z.string(),
    means: z.string(),
    proof: z.string(),
    remedy: z.string(),
    mustNot: z.string(),
    mark,
    source: z.string(),
    proofSaid: sourced.meta({
      description: 'Where the proof comes from; `mark` is that of all else.',
    }),
    numbers: z
      .array(sourced.extend({ text: z.string() }))
      .meta({ description: 'Numbers in these words that have a mark of their own.' }),
  })
  .meta({ id: 'Fault', description: 'Findings of a visit name one of these by its id.' });
const ticked = z.strictObject({
  seen: signIds,
  ruledOut: signIds.optional(),
  skipped: signIds.optional().meta({ description: 'Checks that cannot be made now.' }),
  top: topTraits.optional(),
});
const standing = z.enum(['proven', 'clear', 'in question']);
const plannedPart = z
  .object({ part: z.enum(PARTS).nullable(), label: z.string(), quantity: z.number() })
  .meta({ id: 'PlannedPart', description: 'Part null: it depends on a joint not named yet.' });
const namedFault = z.object({ fault: z.string(), name: z.string() });
export const workPlan = z
  .object({
    steps: z.array(
      z.object({
        fault: z.string(),
        name: z.string(),
        stage: z.enum(STAGES),
        work: z.string(),
        mustNot: z.string(),
        also: z.array(namedFault),
        proveFirst: z.string().nullable(),
        byJoint: z.boolean(),
        joints: z.array(z.string()),
        hours: z.number(),
        parts: z.array(plannedPart),
      }),
    ),
    later: z.array(namedFault).meta({ description: 'Waits until the top may be moved again.' }),
    strippingHours: z.number(),
    hours: z.number(),
    parts: z.array(plannedPart),
  })
  .meta({ id: 'WorkPlan', description: 'In the order in which it is done: frame, cloth, cables.' });
const named = z.object({ id: z.string(), name: z.string() });
const finding = z
  .object({
    causes: z.array(named.extend({ chance: z.number(), standing, why: z.string() })),
    ruledOut: z.array(named),
    unexplained: z.array(z.object({ id: z.string(), text: z.string() })),
    contradictions: z.array(z.string()),
    nextCheck: z
      .object({
        id: z.string(),
        text: z.string(),
        result: z.string(),
        minutes: z.number(),
        gainBits: z.number(),
        separates: z.object({ yes: z.array(z.string()), no: z.array(z.string()) }),
      })
      .nullable(),
    alsoLook: z.array(
      z.object({ id: z.string(), text: z.string(), foundWith: z.string(), fault: z.string() }),
    ),
    remedy: z.string().nullable(),
    remedies: z.array(
      z.object({
        fault: z.string(),
        name: z.string(),
        standing: standing.exclude(['in question']),
        text: z.string(),
        mustNot: z.string(),
        proveFirst: z.string().nullable(),
      }),
    ),
    mustNot: z.array(z.string()),
    leaveIt: z.string().nullable(),
    ifStuck: z
      .string()
      .nullable()
      .meta({ description: 'What comes first with a powered top that may be stuck.' }),
    warnings: z.array(z.string()),
    priors: z.enum(['equal', 'own findings']),
    plan: workPlan,
    first: wording.meta({ description: 'Stands above the cautions.' }),
    cautions: z.array(caution),
  })
  .meta({
    id: 'FaultFinding',
    description: 'Each cause has its chance for itself: several faults may be there at once.',
  });

/** Signs, faults, and what the signs point to. */
export function faultRoutes(app: Routes, context: Context): void {
  const tags = ['fault finding'];
  app.get(
    '/signs',
    {
      schema: {
        tags,
        summary: 'Everything that can be ticked, in the order of an inspection',
        response: { 200: z.object({ items: z.array(sign) }), ...refusals },
      },
    },
    () => ({ items: listSigns() }),
  );
  app.get(
    '/faults',
    {
      schema: {
        tags,
        summary: 'Every fault that a finding can name',
        response: { 200: z.object({ items: z.array(fault) }), ...refusals },
      },
    },
    () => ({ items: listFaults() }),
  );
  app.post(
    '/fault-finding',
    {
      schema: {
        tags,
        summary: 'What the signs point to, the next check, and the work in its order',
        body: ticked,
        response: { 200: finding, ...recordRefusals },
      },
    },
    (request) => {
      return findCauses(context, caller(request), request.body);
    },
  );
}
