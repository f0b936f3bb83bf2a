import { z } from 'zod';
import type { Context } from '../../../usecases/context/context.ts';
import { findCauses, listFaults, listSigns } from '../../../usecases/workshop/find-faults.ts';
import { caller } from '../../gate/keys.ts';
import { caution, wording } from '../records/cautions.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals, refusals } from '../../gate/routes.ts';
import { mark } from '../records/rules.ts';

const sign = z
  .object({ id: z.string(), place: z.string(), text: z.string(), how: z.string().nullable() })
  .meta({ id: 'Sign', description: 'Seen at a look, or the positive result of a check (how).' });
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
  })
  .meta({ id: 'Fault', description: 'Findings of a visit name one of these by its id.' });
const signIds = z.array(z.string().min(1).max(80)).max(200);
const ticked = z.strictObject({ seen: signIds, ruledOut: signIds.optional() });
const finding = z
  .object({
    causes: z.array(
      z.object({ id: z.string(), name: z.string(), chance: z.number(), why: z.string() }),
    ),
    nextCheck: z
      .object({
        id: z.string(),
        text: z.string(),
        result: z.string(),
        gainBits: z.number(),
        separates: z.object({ yes: z.array(z.string()), no: z.array(z.string()) }),
      })
      .nullable(),
    remedy: z.string().nullable(),
    mustNot: z.array(z.string()),
    warnings: z.array(z.string()),
    priors: z.enum(['equal', 'own findings']),
    first: wording.meta({ description: 'Stands above the cautions.' }),
    cautions: z.array(caution),
  })
  .meta({ id: 'FaultFinding' });

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
        summary: 'Likely causes of the signs ticked, the next check, and what must not be done',
        body: ticked,
        response: { 200: finding, ...recordRefusals },
      },
    },
    (request) => {
      const { seen, ruledOut = [] } = request.body;
      return findCauses(context, caller(request), { seen, ruledOut });
    },
  );
}
