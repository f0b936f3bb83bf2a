import type { FastifyInstance } from 'fastify';
import type { Context } from '../../../usecases/context/context.ts';
import { readCalls } from '../../../usecases/day/read-calls.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { callsSheet } from './calls-sheet.ts';

const CALLS_A_PAGE = 50;

/** Whom to ring, all of them; a call is noted on the page of its car. */
export function callsPage(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/calls', async ({ caller, voice, query }) => {
    const asked = { limit: CALLS_A_PAGE, after: query('after') };
    return renderFor(
      caller,
      'calls',
      ...callsSheet(await readCalls(context, caller, asked), voice),
    );
  });
}
