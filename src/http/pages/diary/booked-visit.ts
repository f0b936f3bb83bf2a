import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { moveBooking } from '../../../usecases/diary/book-week.ts';
import { changeVisit } from '../../../usecases/visits/change-visit.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { showVisit } from '../../../usecases/visits/read-visits.ts';
import { day, timeOfDay } from '../../../usecases/records/record-fields.ts';
import { readVisitPage } from '../../../usecases/day/top-page.ts';
import { weeksWithRoom } from '../../../usecases/bench/weeks-with-room.ts';
import { bookedSheet, type SentForm } from './booked-sheet.ts';
import { readBy, textIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';

const wanted = z.strictObject({
  week: z.string().max(8).optional(),
  on: day.optional(),
  at: timeOfDay.optional(),
});
const outcome = z.strictObject({ state: z.enum(['missed', 'cancelled']) });

/** The page of a booked visit, with what may become of it. */
export function bookedVisitPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, id: string, came: SentForm | null) => {
    const facts = await readVisitPage(context, caller, id);
    const { visit } = facts;
    const { weeks, timeZone } = await weeksWithRoom(context, caller, visit.topId, visit);
    return renderFor(
      caller,
      'booked',
      ...bookedSheet({ ...facts, weeks, timeZone }, freshOnce(), came),
    );
  };
  showForm(app, context, '/visits/:id', ({ caller, id }) => page(caller, id, null));
  answerForm(app, context, {
    path: '/visits/:id/outcome',
    record: async ({ caller, params, form }) => {
      const { state } = readBy(outcome, { state: textIn(form, 'state') });
      const { topId } = await changeVisit(context, caller, params.id, { state }, versionIn(form));
      return { to: `/tops/${topId}?done=${state}` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, { form: 'outcome', sent }),
  });
  answerForm(app, context, {
    path: '/visits/:id/move',
    record: async ({ caller, params, form }) => {
      await showVisit(context, caller, params.id);
      const asked = readBy(wanted, {
        week: textIn(form, 'week'),
        on: textIn(form, 'on'),
        at: textIn(form, 'at'),
      });
      const { topId } = await moveBooking(context, caller, params.id, asked, versionIn(form));
      return { to: `/tops/${topId}?done=moved` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, { form: 'move', sent }),
  });
}
