import type { FastifyInstance } from 'fastify';
import type { ApiDocument } from './api-document.ts';
import { frontSheet } from './front-sheet.ts';
import { referenceSheet } from './reference-sheet.ts';
import { renderPage } from '../frame/render.ts';
import { sendPage } from '../frame/page-answer.ts';
import { voiceOf } from '../frame/spoken-to.ts';

/** The API description for machines, and the same for people to read. */
export function referenceRoutes(
  app: FastifyInstance,
  publicUrl: string,
  description: () => Promise<object>,
): void {
  const hidden = { schema: { hide: true } };
  let page: string | null = null;
  app.get('/openapi.json', hidden, () => description());
  app.get('/reference', hidden, async (_request, reply) => {
    // The routes stand still once the server is ready, so the page is written once.
    page ??= renderPage('reference', ...referenceSheet(await described(description), publicUrl));
    return sendPage(reply, page);
  });
}

/** The front door, in the language that the visitor's browser asks for. */
export function frontPage(app: FastifyInstance, tray: boolean): void {
  app.get('/', { schema: { hide: true } }, async (request, reply) =>
    sendPage(reply, renderPage('front', ...frontSheet(tray, voiceOf(request)))),
  );
}

async function described(description: () => Promise<object>): Promise<ApiDocument> {
  return (await description()) as ApiDocument;
}
