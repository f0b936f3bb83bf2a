import { z } from 'zod';
import { LETTER_KINDS } from '../../../domain/round/letter-kind.ts';
import type { Context } from '../../../usecases/context/context.ts';
import {
  listWording,
  removeWording,
  saveWording,
} from '../../../usecases/organisations/letter-wording.ts';
import { previewOwnLetter } from '../../../usecases/organisations/preview-letters.ts';
import { caller } from '../../gate/keys.ts';
import { language } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { refusals } from '../../gate/routes.ts';

const kind = z.enum(LETTER_KINDS);
const passage = z.strictObject({ kind, language, slot: z.string().max(40) });

const wordingFields = {
  kind,
  language: z.string(),
  slot: z.string(),
  text: z.string().nullable(),
  standard: z.string(),
  places: z.array(z.string()),
  maxLength: z.int(),
  lines: z.enum(['one', 'many']),
  changedAt: z.string().nullable(),
};
const wording = z
  .object(wordingFields)
  .meta({ id: 'Wording', description: 'A passage of a letter and the own words for it.' });

const preview = z
  .object({
    kind,
    language: z.string(),
    subject: z.string(),
    text: z.string(),
    html: z.string(),
  })
  .meta({ id: 'LetterPreview', description: 'A letter with invented people and cars.' });

/** Own words for the letters, each shown as it would read before anybody gets it. */
export function wordingRoutes(app: Routes, context: Context): void {
  const tags = ['letters'];
  app.get(
    '/wording',
    {
      schema: {
        tags,
        summary: 'List the passages of the letters, with your own words for them',
        querystring: z.strictObject({ kind: kind.optional(), language: language.optional() }),
        response: { 200: z.object({ items: z.array(wording) }), ...refusals },
      },
    },
    (request) => listWording(context, caller(request), request.query),
  );
  app.put(
    '/wording/:kind/:language/:slot',
    {
      schema: {
        tags,
        summary: 'Put a passage in your own words; the answer shows the letter with them',
        params: passage,
        body: z.strictObject({ text: z.string().max(4_000) }),
        response: {
          200: z.object({ ...wordingFields, preview }).meta({ id: 'SavedWording' }),
          ...refusals,
        },
      },
    },
    (request) => saveWording(context, caller(request), request.params, request.body.text),
  );
  app.delete(
    '/wording/:kind/:language/:slot',
    {
      schema: {
        tags,
        summary: 'Give a passage the words back that it had from us',
        params: passage,
        response: { 204: z.null(), ...refusals },
      },
    },
    async (request, reply) => {
      await removeWording(context, caller(request), request.params);
      return reply.code(204).send(null);
    },
  );
  app.get(
    '/letters/preview',
    {
      schema: {
        tags,
        summary: 'Show a kind of letter with invented data and your own words',
        querystring: z.strictObject({ kind, language: language.default('en') }),
        response: { 200: preview, ...refusals },
      },
    },
    (request) => {
      const { kind: of, language: tag } = request.query;
      return previewOwnLetter(context, caller(request), of, tag);
    },
  );
}
