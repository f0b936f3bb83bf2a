import { z } from 'zod';
import { TOPICS } from '../../../domain/round/letter-kind.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { changePreferences, showPreferences } from '../../../usecases/owners/preferences.ts';
import { tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { idParams, prose, version } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, refusals } from '../../gate/routes.ts';

const topics = z
  .array(z.enum(TOPICS))
  .max(TOPICS.length)
  .meta({ description: 'Letters about work in hand belong to no topic and always come.' });
const wish = z.strictObject({
  refused: topics,
  words: prose(1_000).meta({
    description: 'What the owner said, and how: it is kept as the record of consent.',
    example: 'On the telephone: no more advice, please.',
  }),
});
const preferences = z
  .object({
    refused: topics,
    consent: z.array(
      z.object({
        topic: z.string(),
        given: z.boolean(),
        at: z.string(),
        by: z.string(),
        words: z.string(),
      }),
    ),
    version,
  })
  .meta({ id: 'Preferences', description: 'What may be written to an address, and who said so.' });

/** What an owner wants to be written about. */
export function preferenceRoutes(app: Routes, context: Context): void {
  const tags = ['owners'];
  app.get(
    '/owners/:id/preferences',
    {
      schema: {
        tags,
        summary: 'Which letters an owner refuses, with the record of consent',
        params: idParams,
        response: { 200: preferences, ...refusals },
      },
    },
    (request, reply) => tagged(reply, showPreferences(context, caller(request), request.params.id)),
  );
  app.put(
    '/owners/:id/preferences',
    {
      schema: {
        tags,
        summary: 'Set which letters an owner refuses, in the words in which the owner said so',
        params: idParams,
        body: wish,
        response: { 200: preferences, ...changeRefusals },
      },
    },
    async (request, reply) => {
      const { params, body } = request;
      return tagged(
        reply,
        changePreferences(context, caller(request), params.id, body, versionAsked(request)),
      );
    },
  );
}
