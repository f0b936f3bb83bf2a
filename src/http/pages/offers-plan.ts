import type { FastifyInstance } from 'fastify';
import type { Caller, Deed } from '../../usecases/deed.ts';
import { planDiary } from '../../usecases/plan-diary.ts';
import type { Sent } from '../../views/pages/form.ts';
import { offersPlanSheet } from '../../views/pages/offers-plan-sheet.ts';
import { renderPage } from '../../views/pages/render.ts';
import { answerForm, freshOnce } from './shop-form.ts';
import { showForm } from './shop-page.ts';

const WEEKS_PLANNED = 8;

/** The weeks to offer, first as they would be, then made. */
export function offersPlanPages(app: FastifyInstance, deed: Deed): void {
  const page = async (caller: Caller, sent: Sent | null) => {
    const plan = await planDiary(deed, caller, { weeks: WEEKS_PLANNED, apply: false });
    return renderPage('offers-plan', ...offersPlanSheet(plan, freshOnce(), sent));
  };
  showForm(app, deed, '/diary/plan', ({ caller }) => page(caller, null));
  answerForm(app, deed, {
    path: '/diary/plan',
    record: async ({ caller }) => {
      await planDiary(deed, caller, { weeks: WEEKS_PLANNED, apply: true });
      return { to: '/today?done=offers' };
    },
    show: ({ caller }, sent) => page(caller, sent),
  });
}
