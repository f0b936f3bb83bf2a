import type { FastifyInstance } from 'fastify';
import { Refused } from '../../../domain/refusal.ts';
import type { BenchNamed } from '../../../usecases/care-days/bench-work.ts';
import { atBench, recordAtBench } from '../../../usecases/care-days/bench-work.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { refuseOddPlays } from '../../../usecases/visits/odd-plays.ts';
import { readVisitPage } from '../../../usecases/day/top-page.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { voiceOf } from '../frame/spoken-to.ts';
import type { Sent } from '../frame/form.ts';
import { sendShopPage } from '../frame/page-answer.ts';
import { isTicked, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { leadToSignIn, signedIn } from '../shop/session.ts';
import { cleanId, refuseInWords, refuseRight, renderFor } from '../shop/shop-page.ts';
import { hasRight } from '../../../domain/people/rights.ts';
import { typedVisit } from './typed-visit.ts';
import { benchWorkIn, correctionIn, fieldAt, LARGEST, wantsMore, withRoom } from './visit-form.ts';
import { SURELY, visitFormSheet } from './visit-form-sheet.ts';

const PATH = '/care-day/:id/places/:entryId/work';

/**
 * What is found at the bench of a care day, written down by whoever helps there: of the cars that have a
 * time on the day, on the day itself. It is the form of any visit, without ways to other pages.
 */
export function careDayBenchPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, named: BenchNamed, sent: Sent | null) => {
    const { visitId, done } = await atBench(context, caller, named);
    const facts = await readVisitPage(context, caller, visitId);
    const { visit } = facts;
    const bench = {
      action: `/care-day/${named.dayId}/places/${named.placeId}/work`,
      back: `/care-day/${named.dayId}`,
    };
    const typed = sent ?? (done ? typedVisit(visit, facts) : null);
    const view = {
      once: freshOnce(),
      sent: typed === null ? null : withRoom(typed),
      kind: visit.kind,
      bench,
      ...(done ? { corrected: { id: visit.id, version: visit.version, standing: [] } } : {}),
    };
    // What an owner declined is for whoever looks after the car, not for a helper of the day.
    const sheet = visitFormSheet({ ...facts, declined: [] }, view, voiceFor(caller.language));
    return renderFor(caller, 'visit-form', ...sheet);
  };
  const options = { schema: { hide: true } };
  app.get<{ Params: { id: string; entryId: string } }>(PATH, options, async (request, reply) => {
    const caller = await signedIn(request, context);
    if (caller === null) return leadToSignIn(request, reply, context);
    if (!hasRight(caller, 'record-care-day')) {
      return refuseRight(request, reply, caller);
    }
    const { id, entryId } = request.params;
    const named = { dayId: cleanId(id), placeId: cleanId(entryId) };
    try {
      return await sendShopPage(reply, await page(caller, named, null));
    } catch (fault) {
      if (!(fault instanceof Refused) || fault.refusal.kind !== 'conflict') throw fault;
      return refuseInWords(request, reply, 409, voiceOf(request).tell(fault.refusal.detail));
    }
  });
  answerForm(app, context, {
    path: PATH,
    needs: 'record-care-day',
    largest: LARGEST,
    record: async ({ caller, params, form, voice }) => {
      const named = { dayId: params.id, placeId: params.entryId };
      const { visitId, done } = await atBench(context, caller, named);
      const { visit, top } = await readVisitPage(context, caller, visitId);
      const typed = done
        ? correctionIn({ ...form, kind: visit.kind }, visit, top, voice)
        : benchWorkIn(form, top, voice);
      await refuseOddPlays(context, caller, typed, isTicked(form, SURELY));
      await recordAtBench(context, caller, named, typed, versionIn(form));
      return { to: `/care-day/${params.id}?done=recorded` };
    },
    show: ({ caller, params }, sent) =>
      page(caller, { dayId: params.id, placeId: params.entryId }, sent),
    fieldAt,
    wantsMore,
  });
}
