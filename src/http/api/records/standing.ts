import { z } from 'zod';
import { TOPICS } from '../../../domain/round/letter-kind.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { clearStanding, readStanding } from '../../../usecases/owners/read-standing.ts';
import { caller } from '../../gate/keys.ts';
import { id, idParams, line, pageOf, pageQuery } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals, refusals } from '../../gate/routes.ts';

const ownerStanding = z
  .object({
    ownerId: id,
    name: z.string(),
    address: z.string(),
    dead: z.object({ since: z.string(), why: z.string() }).nullable(),
    refusedTopics: z.array(z.enum(TOPICS)),
    cameBack: z.int(),
    cleared: z.object({ at: z.string(), words: z.string() }).nullable(),
    words: z.string(),
  })
  .meta({ id: 'OwnerStanding', description: 'Whether an address gets mail, and why not.' });

const alert = z
  .object({ at: z.string(), letterId: id, ownerId: id, words: z.string() })
  .meta({ id: 'Alert', description: 'A receiver objects to the sender or to a letter.' });

/** Who gets no mail and why, and how a wrong note about an address is lifted. */
export function standingRoutes(app: Routes, context: Context): void {
  const tags = ['letters'];
  app.get(
    '/standing',
    {
      schema: {
        tags,
        summary: 'Owners who get no mail or not all of it, why, and what receivers object to',
        querystring: pageQuery,
        response: { 200: pageOf(ownerStanding).extend({ alerts: z.array(alert) }), ...refusals },
      },
    },
    (request) => readStanding(context, caller(request), request.query),
  );
  app.post(
    '/owners/:id/standing/clear',
    {
      schema: {
        tags,
        summary: 'Lift a wrongly noted dead address; what its reader refused stays refused',
        params: idParams,
        body: z.strictObject({ words: line(500) }),
        response: { 200: ownerStanding, ...recordRefusals },
      },
    },
    (request) => {
      const { params, body } = request;
      return clearStanding(context, caller(request), params.id, body.words);
    },
  );
}
