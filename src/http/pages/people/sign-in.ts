import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { SESSION_DAYS } from '../../../domain/people/patience.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { signIn, signOut } from '../../../usecases/organisations/sign-in.ts';
import { askForPasskey } from '../../../usecases/people/passkeys.ts';
import type { Post } from '../../../usecases/people/invite.ts';
import type { PersonSignIn } from '../../../usecases/people/sign-in-person.ts';
import { signInByPasskey, signInByPassword } from '../../../usecases/people/sign-in-person.ts';
import { tellOfNewBrowser } from '../../../usecases/people/tell-new-browser.ts';
import type { GuessCheck } from '../../gate/guesses.ts';
import { sendProblem } from '../../gate/problem.ts';
import { PASSKEY_HEADERS } from '../../gate/safe-headers.ts';
import { sendShopPage } from '../frame/page-answer.ts';
import { renderPage } from '../frame/render.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { voiceOf } from '../frame/spoken-to.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { fieldsOf } from '../frame/small-form.ts';
import {
  arrivalOf,
  giveBrowser,
  giveSession,
  isOwnForm,
  sessionToken,
  takeSession,
  takeWanted,
} from '../shop/session.ts';
import { deviceInWords } from './device-words.ts';
import { signInSheet } from './sign-in-sheet.ts';

const LARGEST = 8 * 1024;

interface Asking {
  readonly request: FastifyRequest;
  readonly reply: FastifyReply;
}

/** Signing in, as oneself or with a key of the organisation, and out. */
export function signInPages(
  app: FastifyInstance,
  context: Context,
  guessed: GuessCheck,
  asked: GuessCheck,
  post: Post | null,
): void {
  const options = { schema: { hide: true }, bodyLimit: LARGEST, helmet: PASSKEY_HEADERS };
  /** The page, with the words of a key that say why the try before would not do. */
  const show = (asking: Asking, key: string | null, status = 200, email = '') =>
    showWords(asking, key === null ? null : voiceOf(asking.request).say(key), status, email);
  const showWords = (asking: Asking, fault: string | null, status: number, email: string) => {
    const sheet = signInSheet(fault, email, context, voiceOf(asking.request));
    return sendShopPage(asking.reply, renderPage('sign-in', ...sheet), status);
  };
  const enter = async (
    request: FastifyRequest,
    reply: FastifyReply,
    answer: PersonSignIn,
    email: string,
  ) => {
    switch (answer.kind) {
      case 'wrong':
        return (await guessed(request, reply))
          ? reply
          : show({ request, reply }, 'sign-in.wrong', 401, email);
      case 'wait':
        reply.header('retry-after', String(answer.minutes * 60));
        return showWords(
          { request, reply },
          voiceOf(request).count('sign-in.wait', answer.minutes),
          429,
          email,
        );
      case 'signed-in':
    }
    await leave(request);
    giveSession(reply, context, answer.token, SESSION_DAYS * 24);
    giveBrowser(reply, context, answer.browser);
    if (answer.isNew && post !== null) tell(request, answer, post);
    const wanted = takeWanted(request, reply, context);
    const to =
      answer.means === 'recovery-code'
        ? '/me?done=recovered'
        : answer.elsewhere
          ? '/me?done=elsewhere'
          : (wanted ?? '/home');
    return reply.header('cache-control', 'no-store').redirect(to, 303);
  };
  /** Nobody waits for a mail server to sign in, and what it says is for the log alone. */
  const tell = (
    request: FastifyRequest,
    { person, at }: Extract<PersonSignIn, { kind: 'signed-in' }>,
    by: Post,
  ) => {
    const arrival = arrivalOf(request, context);
    const deviceIn = (language: string) => deviceInWords(arrival.device, voiceFor(language));
    void tellOfNewBrowser(context, person, arrival, { at, deviceIn, post: by }).catch(
      (fault: unknown) => request.log.warn({ err: fault }, 'no word of a new browser'),
    );
  };
  /** Whoever signs in again does not leave the session before open behind them. */
  const leave = async (request: FastifyRequest) => {
    const before = sessionToken(request, context);
    if (before !== null) await signOut(context, before);
  };

  app.get('/sign-in', options, async (request, reply) => show({ request, reply }, null));
  app.post('/sign-in', options, async (request, reply) => {
    if (!isOwnForm(request, context)) return show({ request, reply }, 'sign-in.foreign', 403);
    const form = fieldsOf(request.body);
    if (form['email'] !== undefined) {
      const { email = '', password = '', code = '' } = cut(form);
      const typed = { email, password, code };
      return enter(
        request,
        reply,
        await signInByPassword(context, typed, arrivalOf(request, context)),
        email,
      );
    }
    const key = form['key']?.trim() ?? '';
    const answer = await signIn(context, key.slice(0, 200));
    switch (answer.kind) {
      case 'unknown-key':
        return (await guessed(request, reply))
          ? reply
          : show({ request, reply }, 'sign-in.wrong.key', 401);
      case 'narrow-key':
        return show({ request, reply }, 'sign-in.narrow', 403);
      case 'people-sign-in':
        return show({ request, reply }, 'sign-in.people', 403);
      case 'signed-in':
    }
    await leave(request);
    giveSession(reply, context, answer.token);
    const to = takeWanted(request, reply, context) ?? '/home';
    return reply.header('cache-control', 'no-store').redirect(to, 303);
  });
  app.post('/sign-in/passkey/ask', options, async (request, reply) => {
    if (!isOwnForm(request, context))
      return sendProblem(reply, 403, voiceOf(request).say('sign-in.foreign'));
    if (await asked(request, reply)) return reply;
    return reply.header('cache-control', 'no-store').send(await askForPasskey(context));
  });
  app.post('/sign-in/passkey', options, async (request, reply) => {
    if (!isOwnForm(request, context)) return show({ request, reply }, 'sign-in.foreign', 403);
    const { step = '', answer = '' } = fieldsOf(request.body);
    const came = await signInByPasskey(context, { step, answer }, arrivalOf(request, context));
    if (came.kind === 'wrong') {
      return (await guessed(request, reply))
        ? reply
        : show({ request, reply }, 'sign-in.wrong.passkey', 401);
    }
    return enter(request, reply, came, '');
  });
  app.post('/sign-out', options, async (request, reply) => {
    if (!isOwnForm(request, context)) return show({ request, reply }, 'sign-in.foreign', 403);
    await leave(request);
    takeSession(reply, context);
    return reply.header('cache-control', 'no-store').redirect('/sign-in', 303);
  });
}

/** No address, password or code is longer than this. */
function cut(form: SmallForm): SmallForm {
  return Object.fromEntries(Object.entries(form).map(([name, text]) => [name, text.slice(0, 300)]));
}
