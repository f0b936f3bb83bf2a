import { z } from 'zod';
import type { Context } from '../../../usecases/context/context.ts';
import { makeOwnerLink, revokeOwnerLinks } from '../../../usecases/owners/owner-links.ts';
import { caller } from '../../gate/keys.ts';
import { id, idParams } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals, refusals } from '../../gate/routes.ts';

const link = z
  .object({
    purpose: z.literal('owner-page'),
    url: z.string().meta({ description: 'Shown this once; keep it, or make another.' }),
    createdAt: z.string(),
    expiresAt: z.string().nullable().meta({ description: 'When it ends by itself.' }),
    carId: id.nullable().meta({ description: 'The only car that it opens; all where null.' }),
  })
  .meta({ id: 'OwnerLink', description: 'A link that opens the page of one owner.' });

/** Links that an owner holds instead of a password. */
export function linkRoutes(app: Routes, context: Context): void {
  const tags = ['owners'];
  app.post(
    '/owners/:id/links',
    {
      schema: {
        tags,
        summary: 'Make a link to the owner’s page, to be handed over or printed on the card',
        params: idParams,
        body: z.strictObject({
          purpose: z.literal('owner-page'),
          carId: id.optional(),
          days: z.int().min(1).max(3_660).optional(),
        }),
        response: { 201: link, ...recordRefusals },
      },
    },
    (request, reply) => {
      reply.code(201);
      return makeOwnerLink(context, caller(request), request.params.id, request.body);
    },
  );
  app.delete(
    '/owners/:id/links',
    {
      schema: {
        tags,
        summary: 'Revoke all links of an owner, save those that stop letters',
        params: idParams,
        response: { 204: z.null(), ...refusals },
      },
    },
    async (request, reply) => {
      await revokeOwnerLinks(context, caller(request), request.params.id);
      return reply.code(204).send(null);
    },
  );
}
