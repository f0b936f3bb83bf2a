import type { FastifyInstance } from 'fastify';
import type { Context } from '../../../usecases/context/context.ts';
import { washerLives } from '../../../usecases/tops/washer-lives.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { livesSheet } from './lives-sheet.ts';

/** How long washers have lasted, from the shop's own visits. */
export function livesPage(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/washers', async ({ caller, voice, query }) => {
    const by = query('by') === 'exposure' ? 'exposure' : 'pattern';
    return renderFor(caller, 'lives', ...livesSheet(await washerLives(context, caller, by), voice));
  });
}
