import type { FastifyInstance } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { readCareDay } from '../../../usecases/day/care-day.ts';
import { listCareDays } from '../../../usecases/care-days/keep-care-days.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { careDaySheet } from './care-day-sheet.ts';

/** The care days and what else is booked, for whoever helps. A volunteer sees no other pages. */
export function careDayPage(app: FastifyInstance, context: Context): void {
  showPage(
    app,
    context,
    '/care-day',
    async ({ caller, voice }) => {
      const day = await readCareDay(context, caller);
      const careDays = await listCareDays(context, caller);
      const view = {
        reads: hasRight(caller, 'read-records'),
        keeps: caller.kind === 'club' && hasRight(caller, 'keep-owners'),
      };
      const sheet = careDaySheet(day, careDays, view, voice);
      return renderFor(caller, 'care-day', ...sheet);
    },
    'care-day',
  );
}
