import type { FastifyInstance, FastifyReply } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import { ownerKinds } from '../../../usecases/privacy/owner-kinds.ts';
import type { Context } from '../../../usecases/context/context.ts';
import type { OwnerDataRecord } from '../../../usecases/privacy/owner-data.ts';
import { exportOwnerData } from '../../../usecases/privacy/owner-data.ts';
import { readOwnData } from '../../../usecases/privacy/own-data.ts';
import type { PrivacyNotice } from '../../../usecases/privacy/privacy-notice.ts';
import { readPrivacyNotice } from '../../../usecases/privacy/privacy-notice.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { voiceAsked, voiceFor } from '../../../views/words/voice.ts';
import type { GuessCheck } from '../../gate/guesses.ts';
import { sendPage, sendShopPage, sendUnknown } from '../frame/page-answer.ts';
import { renderPage } from '../frame/render.ts';
import { signedIn } from '../shop/session.ts';
import { cleanId, refuseRight } from '../shop/shop-page.ts';
import { ownerDataSheet } from './owner-data-sheet.ts';
import { privacySheet } from './privacy-sheet.ts';

interface Asked {
  Params: { id: string; token: string };
  Querystring: { language?: unknown };
}

/** What is held about people and why, and one owner's data, for her and for those who may export. */
export function privacyPages(app: FastifyInstance, context: Context, guessed: GuessCheck): void {
  const schema = { hide: true };
  app.get<Asked>('/privacy/:id', { schema }, async (request, reply) => {
    const notice = await readPrivacyNotice(context, cleanId(request.params.id));
    if (notice === null) {
      return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
    }
    const { language } = request.query;
    const voice =
      typeof language === 'string' && /^[\w-]{2,20}$/.test(language)
        ? voiceFor(language)
        : voiceAsked(request.headers['accept-language']);
    return sendPage(reply, renderPage('privacy', ...privacySheet(notice, voice)));
  });

  app.get<Asked>('/o/:token/data', { schema }, async (request, reply) => {
    const { token } = request.params;
    const own = await readOwnData(context, token);
    if (own === null) return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
    const back = `/o/${token}`;
    return sendPage(reply, dataPage(own.data, own.notice, voiceFor(own.language), back));
  });
  app.get<Asked>('/o/:token/data.json', { schema }, async (request, reply) => {
    const own = await readOwnData(context, request.params.token);
    if (own === null) return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
    return sendFile(reply, own.data);
  });

  const asManager = async (
    request: Parameters<typeof signedIn>[0],
    reply: FastifyReply,
    id: string,
    answer: (data: OwnerDataRecord, notice: PrivacyNotice) => FastifyReply,
  ) => {
    const caller = await signedIn(request, context);
    if (caller === null) {
      return reply.header('cache-control', 'no-store').redirect('/sign-in', 303);
    }
    if (!hasRight(caller, 'keep-people')) return refuseRight(request, reply, caller);
    const data = await exportOwnerData(context, caller, cleanId(id));
    const notice = await readPrivacyNotice(context, caller.organisationId);
    return notice === null ? sendUnknown(request, reply) : answer(data, notice);
  };
  app.get<Asked>('/owners/:id/data', { schema }, async (request, reply) => {
    const { id } = request.params;
    return asManager(request, reply, id, (data, notice) =>
      sendShopPage(reply, dataPage(data, notice, voiceFor('en'), `/owners/${cleanId(id)}`)),
    );
  });
  app.get<Asked>('/owners/:id/data.json', { schema }, async (request, reply) =>
    asManager(request, reply, request.params.id, (data) => sendFile(reply, data)),
  );
}

function dataPage(
  data: OwnerDataRecord,
  notice: PrivacyNotice,
  voice: Voice,
  back: string,
): string {
  const links = {
    file: `${back}/data.json`,
    privacy: `/privacy/${data.organisation.id}?language=${voice.language}`,
    back,
  };
  return renderPage('owner-data', ...ownerDataSheet(data, ownerKinds(notice), voice, links));
}

function sendFile(reply: FastifyReply, data: OwnerDataRecord): FastifyReply {
  return reply
    .header('content-type', 'application/json; charset=utf-8')
    .header('content-disposition', 'attachment; filename="foldkeep-owner-data.json"')
    .header('cache-control', 'no-store')
    .header('x-content-type-options', 'nosniff')
    .header('x-robots-tag', 'noindex')
    .send(`${JSON.stringify(data, null, 2)}\n`);
}
