import type { FastifyInstance } from 'fastify';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { planDiary } from '../../../usecases/diary/plan-diary.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { offersPlanSheet } from './offers-plan-sheet.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';

const WEEKS_PLANNED = 8;

/** The weeks to offer, first as they would be, then made. */
export function offersPlanPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, voice: Voice, sent: Sent | null) => {
    const plan = await planDiary(context, caller, { weeks: WEEKS_PLANNED, apply: false });
    return renderFor(caller, 'offers-plan', ...offersPlanSheet(plan, freshOnce(), sent, voice));
  };
  showForm(
    app,
    context,
    '/diary/plan',
    ({ caller, voice }) => page(caller, voice, null),
    'keep-owners',
  );
  answerForm(app, context, {
    path: '/diary/plan',
    needs: 'keep-owners',
    record: async ({ caller }) => {
      await planDiary(context, caller, { weeks: WEEKS_PLANNED, apply: true });
      return { to: '/today?done=offers' };
    },
    show: ({ caller, voice }, sent) => page(caller, voice, sent),
  });
}
