import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Context } from '../../../usecases/context/context.ts';
import { signIn, signOut } from '../../../usecases/organisations/sign-in.ts';
import { renderPage } from '../frame/render.ts';
import { signInSheet } from './sign-in-sheet.ts';
import type { GuessCheck } from '../frame/guesses.ts';
import { sendShopPage } from '../frame/page-answer.ts';
import { giveSession, isOwnForm, sessionToken, takeSession } from './session.ts';
import { fieldsOf, LARGEST_FORM } from '../frame/small-form.ts';

/** Signing in with a key of the organisation, and out. */
export function signInPages(app: FastifyInstance, context: Context, guessed: GuessCheck): void {
  const options = { schema: { hide: true }, bodyLimit: LARGEST_FORM };
  const show = (reply: FastifyReply, fault: string | null, status = 200) =>
    sendShopPage(reply, renderPage('sign-in', ...signInSheet(fault)), status);
  app.get('/sign-in', options, async (_request, reply) => show(reply, null));
  app.post('/sign-in', options, async (request, reply) => {
    if (!isOwnForm(request, context)) return show(reply, FOREIGN_FORM, 403);
    const key = fieldsOf(request.body)['key']?.trim() ?? '';
    const answer = await signIn(context, key.slice(0, 200));
    switch (answer.kind) {
      case 'unknown-key':
        return (await guessed(request, reply)) ? reply : show(reply, UNKNOWN_KEY, 401);
      case 'narrow-key':
        return show(reply, NARROW_KEY, 403);
      case 'signed-in':
    }
    giveSession(reply, context, answer.token);
    return reply.header('cache-control', 'no-store').redirect('/home', 303);
  });
  app.post('/sign-out', options, async (request, reply) => {
    if (!isOwnForm(request, context)) return show(reply, FOREIGN_FORM, 403);
    const token = sessionToken(request, context);
    if (token !== null) await signOut(context, token);
    takeSession(reply, context);
    return reply.header('cache-control', 'no-store').redirect('/sign-in', 303);
  });
}

const UNKNOWN_KEY = 'There is no such key. Copy it whole, from “fk_” to its last letter.';
const NARROW_KEY = 'This key may only log positions. Take one with the scope “read” or “full”.';
const FOREIGN_FORM = 'That form came from another site. Sign in here.';
