import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { moveBooking } from '../../usecases/book-week.ts';
import { changeVisit } from '../../usecases/change-visit.ts';
import type { Caller, Deed } from '../../usecases/deed.ts';
import { showVisit } from '../../usecases/read-visits.ts';
import { readVisitPage } from '../../usecases/top-page.ts';
import { weeksWithRoom } from '../../usecases/weeks-with-room.ts';
import { bookedSheet, type SentForm } from '../../views/pages/booked-sheet.ts';
import { renderPage } from '../../views/pages/render.ts';
import { readBy, textIn, versionIn } from './form-body.ts';
import { answerForm, freshOnce } from './shop-form.ts';
import { showForm } from './shop-page.ts';

const outcome = z.strictObject({ state: z.enum(['missed', 'cancelled']) });

/** The page of a booked visit, with what may become of it. */
export function bookedVisitPages(app: FastifyInstance, deed: Deed): void {
  const page = async (caller: Caller, id: string, came: SentForm | null) => {
    const facts = await readVisitPage(deed, caller, id);
    const { visit } = facts;
    const { weeks } = await weeksWithRoom(deed, caller, visit.topId, visit);
    return renderPage('booked', ...bookedSheet({ ...facts, weeks }, freshOnce(), came));
  };
  showForm(app, deed, '/visits/:id', ({ caller, id }) => page(caller, id, null));
  answerForm(app, deed, {
    path: '/visits/:id/outcome',
    record: async ({ caller, params, form }) => {
      const { state } = readBy(outcome, { state: textIn(form, 'state') });
      const { topId } = await changeVisit(deed, caller, params.id, { state }, versionIn(form));
      return { to: `/tops/${topId}?done=${state}` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, { form: 'outcome', sent }),
  });
  answerForm(app, deed, {
    path: '/visits/:id/move',
    record: async ({ caller, params, form }) => {
      await showVisit(deed, caller, params.id);
      const asked = { week: textIn(form, 'week'), on: textIn(form, 'on') };
      const { topId } = await moveBooking(deed, caller, params.id, asked, versionIn(form));
      return { to: `/tops/${topId}?done=moved` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, { form: 'move', sent }),
  });
}
