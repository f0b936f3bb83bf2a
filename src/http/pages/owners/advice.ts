import type { FastifyInstance } from 'fastify';
import { ADVICE } from '../../../domain/advice/advice-rows.ts';
import { voiceAsked, voiceFor } from '../../../views/words/voice.ts';
import { sendPage } from '../frame/page-answer.ts';
import { renderPage } from '../frame/render.ts';
import { adviceSheet } from './advice-sheet.ts';

/**
 * Where every letter's "why we say this" leads: the same for everybody, so that no link of an owner is
 * needed. In the language of the letter, else in the one that the browser asks for.
 */
export function advicePage(app: FastifyInstance): void {
  app.get<{ Querystring: { in?: unknown } }>(
    '/advice',
    { schema: { hide: true } },
    async (request, reply) => {
      const { in: language } = request.query;
      const voice =
        typeof language === 'string'
          ? voiceFor(language)
          : voiceAsked(request.headers['accept-language']);
      return sendPage(reply, renderPage('advice', ...adviceSheet(ADVICE, voice)));
    },
  );
}
