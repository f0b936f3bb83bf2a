import type { FastifyInstance } from 'fastify';
import { showDiary } from '../../../usecases/bench/diary-weeks.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { mayRecord, renderFor, showPage } from '../shop/shop-page.ts';
import { benchLoadSheet } from './bench-load-sheet.ts';

const WEEKS_DRAWN = 16;

/** What the bench holds in the coming weeks, and where more falls due than it has room for. */
export function benchLoadPage(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/bench', async ({ caller, voice }) => {
    const diary = await showDiary(context, caller, { weeks: WEEKS_DRAWN });
    return renderFor(caller, 'bench', ...benchLoadSheet(diary, mayRecord(caller), voice));
  });
}
