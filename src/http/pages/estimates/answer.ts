import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Context } from '../../../usecases/context/context.ts';
import type {
  EstimateCame,
  EstimatePageRecord,
} from '../../../usecases/estimates/estimate-by-link.ts';
import {
  linkToDays,
  pressEstimatePage,
  readEstimatePage,
} from '../../../usecases/estimates/estimate-by-link.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { GuessCheck } from '../../gate/guesses.ts';
import { sendPage, sendUnknown } from '../frame/page-answer.ts';
import { renderPage } from '../frame/render.ts';
import { fieldsOf } from '../frame/small-form.ts';
import { answerSheet } from './answer-sheet.ts';
import { takenIn } from './estimates.ts';

interface Asked {
  Params: { token: string };
}

const LARGEST = 16 * 1024;

/**
 * The page behind a link to an estimate. Opening it changes nothing, because filters open every link
 * before the reader does; it is answered by a plain POST, once.
 */
export function answerPages(app: FastifyInstance, context: Context, guessed: GuessCheck): void {
  const schema = { hide: true };
  app.get<Asked>('/e/:token', { schema }, async (request, reply) => {
    const { token } = request.params;
    const page = await readEstimatePage(context, token);
    if (page !== null) return show(reply, page, token, null);
    return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  });
  app.post<Asked>('/e/:token', { schema, bodyLimit: LARGEST }, async (request, reply) => {
    const { token } = request.params;
    const form = fieldsOf(request.body);
    const pressed = { was: form['was'] ?? '', accepted: takenIn(form) };
    const done = await pressEstimatePage(context, token, pressed);
    if (done !== null) return show(reply, done.page, token, done.came);
    return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  });
  app.post<Asked>('/e/:token/day', { schema, bodyLimit: LARGEST }, async (request, reply) => {
    const to = await linkToDays(context, request.params.token);
    if (to !== null) return reply.header('cache-control', 'no-store').redirect(to, 303);
    return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  });
}

function show(
  reply: FastifyReply,
  page: EstimatePageRecord,
  token: string,
  came: EstimateCame | null,
): FastifyReply {
  const sheet = answerSheet(page, voiceFor(page.language), token, came);
  return sendPage(reply, renderPage('estimate-answer', ...sheet));
}
