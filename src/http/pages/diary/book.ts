import type { FastifyInstance, FastifyReply } from 'fastify';
import type { BookPageRecord } from '../../../usecases/diary/book-by-link.ts';
import { confirmWeek, readBookPage } from '../../../usecases/diary/book-by-link.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { bookSheet } from './book-sheet.ts';
import { renderPage } from '../frame/render.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { GuessCheck } from '../../gate/guesses.ts';
import { sendPage, sendUnknown } from '../frame/page-answer.ts';
import { fieldsOf, LARGEST_FORM } from '../frame/small-form.ts';

interface Asked {
  Params: { token: string };
}

/**
 * The page behind a link to an offered week. Opening it changes nothing, because filters open every
 * link before the reader does; the week is booked by a plain POST, and pressing twice books once.
 */
export function bookPages(app: FastifyInstance, context: Context, guessed: GuessCheck): void {
  const schema = { hide: true };
  app.get<Asked>('/b/:token', { schema }, async (request, reply) => {
    const page = await readBookPage(context, request.params.token);
    if (page !== null) return show(reply, page, false);
    return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  });
  app.post<Asked>('/b/:token', { schema, bodyLimit: LARGEST_FORM }, async (request, reply) => {
    const week = fieldsOf(request.body)['week'] ?? '';
    const done = await confirmWeek(context, request.params.token, week);
    if (done !== null) return show(reply, done.page, !done.booked);
    return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  });
}

/** 409 where the week was taken by somebody else meanwhile: the page says so and shows the rest. */
function show(reply: FastifyReply, page: BookPageRecord, lost: boolean): FastifyReply {
  const sheet = bookSheet(page, voiceFor(page.language), lost);
  return sendPage(reply, renderPage('book', ...sheet), lost ? 409 : 200);
}
