import type { FastifyInstance, FastifyReply } from 'fastify';
import type { WishPart } from '../../../domain/care-day/wishes.ts';
import { MOST_PIECES, WISH_PARTS } from '../../../domain/care-day/wishes.ts';
import type { ChooseCame, ChoosePageRecord } from '../../../usecases/care-days/choose-time.ts';
import { pressChoosePage, readChoosePage } from '../../../usecases/care-days/choose-time.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { GuessCheck } from '../../gate/guesses.ts';
import { sendPage, sendUnknown } from '../frame/page-answer.ts';
import { renderPage } from '../frame/render.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { fieldsOf, LARGEST_FORM } from '../frame/small-form.ts';
import { chooseSheet } from './choose-sheet.ts';

interface Asked {
  Params: { token: string };
}

/**
 * The page behind a link to a care day. Opening it changes nothing, because filters open every link
 * before the reader does; a plain POST chooses, moves or gives back a time, and a second press of the
 * same form changes nothing more.
 */
export function choosePages(app: FastifyInstance, context: Context, guessed: GuessCheck): void {
  const schema = { hide: true };
  app.get<Asked>('/d/:token', { schema }, async (request, reply) => {
    const page = await readChoosePage(context, request.params.token);
    if (page !== null) return show(reply, page, null);
    return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  });
  app.post<Asked>('/d/:token', { schema, bodyLimit: LARGEST_FORM }, async (request, reply) => {
    const form = fieldsOf(request.body);
    const { was = '', time, wish } = form;
    const pressed = { was, time, wish, order: orderIn(form) };
    const done = await pressChoosePage(context, request.params.token, pressed);
    if (done !== null) return show(reply, done.page, done.came);
    return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  });
}

/** The pieces that were ordered, part by part; what is no number within reason orders nothing. */
function orderIn(form: SmallForm): Partial<Record<WishPart, number>> | undefined {
  if (form['order'] !== 'yes') return undefined;
  const typed: Partial<Record<WishPart, number>> = {};
  for (const part of WISH_PARTS) {
    const text = form[part]?.trim() ?? '';
    if (/^\d$/.test(text)) typed[part] = Math.min(MOST_PIECES, Number(text));
  }
  return typed;
}

/** 409 where the time was taken by somebody else meanwhile: the page says so and shows the rest. */
function show(reply: FastifyReply, page: ChoosePageRecord, came: ChooseCame | null): FastifyReply {
  const sheet = chooseSheet(page, voiceFor(page.language), came);
  return sendPage(reply, renderPage('choose', ...sheet), came === 'gone' ? 409 : 200);
}
