import { z } from 'zod';
import type { Context } from '../../../usecases/context/context.ts';
import { makeFeed, revokeFeeds } from '../../../usecases/diary/diary-feed.ts';
import { caller } from '../../gate/keys.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals, refusals } from '../../gate/routes.ts';

const feed = z
  .object({
    url: z
      .string()
      .meta({ description: 'Shown this once. Subscribe to it in a calendar program.' }),
  })
  .meta({ id: 'Feed' });

/** Addresses under which calendar programs read the diary. */
export function feedRoutes(app: Routes, context: Context): void {
  const tags = ['diary'];
  app.post(
    '/feeds',
    {
      schema: {
        tags,
        summary: 'Make an address for your diary in a calendar program',
        body: z.strictObject({}).nullish(),
        response: { 201: feed, ...recordRefusals },
      },
    },
    (request, reply) => {
      reply.code(201);
      return makeFeed(context, caller(request));
    },
  );
  app.delete(
    '/feeds',
    {
      schema: {
        tags,
        summary: 'Revoke every address of your diary',
        response: { 204: z.null(), ...refusals },
      },
    },
    async (request, reply) => {
      await revokeFeeds(context, caller(request));
      return reply.code(204).send(null);
    },
  );
}
