import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { isLoopbackAddress, isLoopbackHost } from '../frame/loopback.ts';
import type { Context } from '../../../usecases/context/context.ts';
import type { TrayReader } from '../../../usecases/letters/read-tray.ts';
import { listTray, showTrayLetter, trayMessage } from '../../../usecases/letters/read-tray.ts';
import { renderPage } from '../frame/render.ts';
import { voiceOf } from '../frame/spoken-to.ts';
import { trayLetterSheet, traySheet } from './tray-sheet.ts';
import { sendShopPage, sendUnknown } from '../frame/page-answer.ts';
import { LETTER_HEADERS } from '../../gate/safe-headers.ts';
import { signedIn } from '../shop/session.ts';

interface Asked {
  Params: { name: string };
}

/**
 * The mail tray of a server without a mail server: an aid for trying things out. Whoever sits at the
 * machine reads every letter without signing in, but only while the server is meant for this machine
 * alone (PUBLIC_URL is a loopback address), since behind a proxy everybody seems to come from here.
 * Elsewhere an organisation signs in and reads the letters that it wrote.
 */
export function trayPages(app: FastifyInstance, context: Context, folder: string): void {
  const options = { schema: { hide: true } };
  app.get('/tray', options, async (request, reply) => {
    const reader = await readerOf(request, context);
    if (reader === null) return reply.redirect('/sign-in', 303);
    const entries = await listTray(context, folder, reader);
    const sheet = traySheet(entries, reader !== 'this-machine', voiceOf(request));
    return sendShopPage(reply, renderPage('tray', ...sheet));
  });
  app.get('/tray.json', options, async (request, reply) => {
    const reader = await readerOf(request, context);
    if (reader === null) return reply.redirect('/sign-in', 303);
    return reply
      .header('cache-control', 'no-store')
      .send({ items: await listTray(context, folder, reader) });
  });
  app.get<Asked>('/tray/:name', { ...options, helmet: LETTER_HEADERS }, async (request, reply) => {
    const reader = await readerOf(request, context);
    if (reader === null) return reply.redirect('/sign-in', 303);
    const letter = await showTrayLetter(context, folder, reader, request.params.name);
    if (letter === null) return sendUnknown(request, reply);
    const sheet = trayLetterSheet(letter, reader !== 'this-machine', voiceOf(request));
    return sendShopPage(reply, renderPage('tray-letter', ...sheet));
  });
  app.get<Asked>('/tray/:name/letter.eml', options, async (request, reply) => {
    const reader = await readerOf(request, context);
    if (reader === null) return reply.redirect('/sign-in', 303);
    const message = await trayMessage(context, folder, reader, request.params.name);
    return message === null ? sendUnknown(request, reply) : sendMessage(reply, message);
  });
}

function sendMessage(reply: FastifyReply, message: Buffer): FastifyReply {
  return reply
    .header('content-type', 'message/rfc822')
    .header('content-disposition', 'attachment; filename="letter.eml"')
    .header('cache-control', 'no-store')
    .send(message);
}

async function readerOf(request: FastifyRequest, context: Context): Promise<TrayReader | null> {
  const caller = await signedIn(request, context);
  if (caller !== null) return caller;
  return isAtThisMachine(request, context) ? 'this-machine' : null;
}

/** The name asked for must be of this machine too, or a foreign page could point its own name here. */
function isAtThisMachine({ headers, socket }: FastifyRequest, context: Context): boolean {
  const passedOn = ['forwarded', 'x-forwarded-for', 'via'].some(
    (name) => headers[name] !== undefined,
  );
  return (
    !passedOn &&
    isLoopbackAddress(socket.remoteAddress ?? '') &&
    isLoopbackHost(headers.host ?? '') &&
    isLoopbackHost(new URL(context.publicUrl).host)
  );
}
