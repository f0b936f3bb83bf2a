import type { FastifyInstance } from 'fastify';
import type { Context } from '../../../usecases/context/context.ts';
import { readCalls } from '../../../usecases/day/read-calls.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { chancesSheet } from './chances-sheet.ts';

/** How the chances behind the call list compare with what the shop has seen. */
export function chancesPage(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/calls/chances', async ({ caller, voice }) => {
    const { outcomes, because } = await readCalls(context, caller, { limit: 1 });
    return renderFor(caller, 'chances', ...chancesSheet(outcomes, because, voice));
  });
}
