import type { FastifyInstance, FastifyReply } from 'fastify';
import type { BookPageRecord } from '../../../usecases/diary/book-by-link.ts';
import { pressBookPage, readBookPage } from '../../../usecases/diary/book-by-link.ts';
import type { Context } from '../../../usecases/context/context.ts';
import type { Came } from './book-sheet.ts';
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
 * The page behind a link to a visit. Opening it changes nothing, because filters open every link
 * before the reader does; a day is booked, moved or cancelled by a plain POST, and whatever is pressed
 * twice is done once.
 */
export function bookPages(app: FastifyInstance, context: Context, guessed: GuessCheck): void {
  const schema = { hide: true };
  app.get<Asked>('/b/:token', { schema }, async (request, reply) => {
    const page = await readBookPage(context, request.params.token);
    if (page !== null) return show(reply, page, null);
    return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  });
  app.post<Asked>('/b/:token', { schema, bodyLimit: LARGEST_FORM }, async (request, reply) => {
    const { was = '', day, cancel } = fieldsOf(request.body);
    const pressed = { was, day, cancel: cancel === 'yes' };
    const done = await pressBookPage(context, request.params.token, pressed);
    if (done !== null) return show(reply, done.page, done.came);
    return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  });
}

/** 409 where the time was taken by somebody else meanwhile: the page says so and shows the rest. */
function show(reply: FastifyReply, page: BookPageRecord, came: Came | null): FastifyReply {
  const sheet = bookSheet(page, voiceFor(page.language), came);
  return sendPage(reply, renderPage('book', ...sheet), came === 'gone' ? 409 : 200);
}
