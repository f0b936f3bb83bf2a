import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Context } from '../../../usecases/context/context.ts';
import type { StopPageRecord, StopWish } from '../../../usecases/owners/stop-letters.ts';
import { heedStop, readStopPage, STOP_WISHES } from '../../../usecases/owners/stop-letters.ts';
import { refused } from '../frame/problem-sheet.ts';
import { renderPage } from '../frame/render.ts';
import { stopSheet } from './stop-sheet.ts';
import { voiceAsked, voiceFor } from '../../../views/words/voice.ts';
import type { GuessCheck } from '../../gate/guesses.ts';
import { sendPage, sendUnknown } from '../frame/page-answer.ts';
import { fieldsOf, LARGEST_FORM, readSmallForms, type SmallForm } from '../frame/small-form.ts';

interface Asked {
  Params: { token: string };
}

/**
 * The page behind a letter's stop link, and its one-click address (RFC 8058). Opening it changes
 * nothing, because filters open every link before the reader does; a POST needs no sign-in and is
 * answered at once, without a redirect.
 */
export async function stopPages(
  app: FastifyInstance,
  context: Context,
  guessed: GuessCheck,
): Promise<void> {
  await readSmallForms(app);
  const schema = { hide: true };
  app.get<Asked>('/u/:token', { schema }, async (request, reply) => {
    const record = await readStopPage(context, request.params.token);
    if (record !== null) return show(reply, record, null);
    return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  });
  app.post<Asked>('/u/:token', { schema, bodyLimit: LARGEST_FORM }, async (request, reply) => {
    const wish = wishOf(fieldsOf(request.body));
    const { token } = request.params;
    const record = await (wish === null
      ? readStopPage(context, token)
      : heedStop(context, token, wish));
    if (record === null) {
      return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
    }
    if (wish !== null) return show(reply, record, wish);
    const voice = voiceAsked(request.headers['accept-language']);
    const page = refused(voice, [voice.say('stop.no-wish')], request.url);
    return sendPage(reply, renderPage('problem', ...page), 400);
  });
}

function wishOf(form: SmallForm): StopWish | null {
  if (form['List-Unsubscribe']?.trim() === 'One-Click') return 'one-click';
  return STOP_WISHES.find((wish) => wish === form['wish'] && wish !== 'one-click') ?? null;
}

function show(reply: FastifyReply, record: StopPageRecord, done: StopWish | null): FastifyReply {
  const sheet = stopSheet(record, voiceFor(record.language), done);
  return sendPage(reply, renderPage('stop', ...sheet));
}
