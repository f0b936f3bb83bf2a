import type { FastifyInstance } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { readCareDay } from '../../../usecases/day/care-day.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { careDaySheet } from './care-day-sheet.ts';

/** The care day, for whoever helps on it: the one page of a volunteer. */
export function careDayPage(app: FastifyInstance, context: Context): void {
  showPage(
    app,
    context,
    '/care-day',
    async ({ caller }) => {
      const day = await readCareDay(context, caller);
      const sheet = careDaySheet(day, hasRight(caller, 'read-records'));
      return renderFor(caller, 'care-day', ...sheet);
    },
    'care-day',
  );
}
