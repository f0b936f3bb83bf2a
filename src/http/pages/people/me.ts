import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { hasRight } from '../../../domain/people/rights.ts';
import { Refused } from '../../../domain/refusal.ts';
import type { Context, Self, Visitor } from '../../../usecases/context/context.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { newAuthenticator } from '../../../usecases/people/authenticator.ts';
import {
  addOwnPasskey,
  askForOwnPasskey,
  chooseLanguage,
  dropOwnPasskey,
  readSelf,
  setOwnPassword,
} from '../../../usecases/people/own-means.ts';
import { makeRecoveryCodes } from '../../../usecases/people/recovery-codes.ts';
import { endOneSession, endOtherSessions, selfOf } from '../../../usecases/people/sessions.ts';
import { listOwnSignIns } from '../../../usecases/people/sign-in-log.ts';
import { line } from '../../../usecases/records/record-fields.ts';
import { readOwnTrail } from '../../../usecases/trail/read-trail.ts';
import type { GuessCheck } from '../../gate/guesses.ts';
import { sendProblem } from '../../gate/problem.ts';
import { PASSKEY_HEADERS } from '../../gate/safe-headers.ts';
import type { Sent } from '../frame/form.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { voiceOf } from '../frame/spoken-to.ts';
import { sendShopPage } from '../frame/page-answer.ts';
import { LARGEST_FORM } from '../frame/small-form.ts';
import { readBy, textIn } from '../shop/form-body.ts';
import { isOwnForm, signedIn } from '../shop/session.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor } from '../shop/shop-page.ts';
import { codesSheet, meSheet, PAGE_LANGUAGES } from './me-sheet.ts';

const LARGEST = 8 * 1024;
const LINES_SHOWN = 10;
const passkeyName = z.strictObject({ name: line(60) });
const ownLanguage = z.strictObject({ language: z.enum(['', ...PAGE_LANGUAGES]) });

/** One's own page: how one signs in, where one is signed in, and the ways to the people and keys. */
export function mePages(app: FastifyInstance, context: Context, asked: GuessCheck): void {
  const historyOf = async (caller: Visitor, self: Self) => {
    const { timeZone } = await showOrganisation(context, caller);
    const changes = await readOwnTrail(context, caller, self, LINES_SHOWN);
    const signIns = await listOwnSignIns(context, self, LINES_SHOWN);
    return { timeZone, changes: changes.items, signIns };
  };
  const page = async (
    caller: Visitor,
    voice: Voice,
    done: string | undefined,
    sent: Sent | null,
  ) => {
    const self = caller.self === undefined ? null : await readSelf(context, caller.self);
    const history = caller.self === undefined ? null : await historyOf(caller, caller.self);
    const typed = sent?.typed['secret'];
    const view = {
      done,
      once: freshOnce(),
      sent,
      keepsPeople: hasRight(caller, 'keep-people'),
      readsRecords: hasRight(caller, 'read-records'),
      history,
      authenticator: newAuthenticator(self?.email ?? '', typed),
      publicUrl: context.publicUrl,
    };
    return renderFor(caller, 'me', ...meSheet(self, view, voice));
  };
  const show = ({ caller, voice }: Sending, sent: Sent) => page(caller, voice, undefined, sent);

  app.get<{ Querystring: { done?: unknown } }>(
    '/me',
    { schema: { hide: true }, helmet: PASSKEY_HEADERS },
    async (request, reply) => {
      const caller = await signedIn(request, context);
      if (caller === null) {
        return reply.header('cache-control', 'no-store').redirect('/sign-in', 303);
      }
      const { done } = request.query;
      return sendShopPage(
        reply,
        await page(caller, voiceOf(request), typeof done === 'string' ? done : undefined, null),
      );
    },
  );
  app.post(
    '/me/passkeys/ask',
    { schema: { hide: true }, bodyLimit: LARGEST_FORM },
    async (request, reply) => {
      const { say, tell } = voiceOf(request);
      const caller = isOwnForm(request, context) ? await signedIn(request, context) : null;
      if (caller === null) return sendProblem(reply, 401, say('me.again'));
      if (await asked(request, reply)) return reply;
      try {
        const challenge = await askForOwnPasskey(context, selfOf(caller));
        return await reply.header('cache-control', 'no-store').send(challenge);
      } catch (fault) {
        if (!(fault instanceof Refused)) throw fault;
        return sendProblem(reply, 403, tell(fault.message));
      }
    },
  );
  answerForm(app, context, {
    path: '/me/passkeys',
    largest: LARGEST,
    needs: null,
    helmet: PASSKEY_HEADERS,
    record: async ({ caller, form, voice }) => {
      const { name } = readBy(passkeyName, {
        name: textIn(form, 'name') ?? voice.say('me.passkey.first'),
      });
      const { step = '', answer = '' } = form;
      await addOwnPasskey(context, selfOf(caller), { step, answer }, name);
      return { to: '/me?done=passkey' };
    },
    show,
  });
  answerForm(app, context, {
    path: '/me/passkeys/:id/remove',
    needs: null,
    helmet: PASSKEY_HEADERS,
    record: async ({ caller, params }) => {
      await dropOwnPasskey(context, selfOf(caller), params.id);
      return { to: '/me?done=removed' };
    },
    show,
  });
  answerForm(app, context, {
    path: '/me/password',
    needs: null,
    helmet: PASSKEY_HEADERS,
    record: async ({ caller, form }) => {
      const { password = '', code = '', secret = '' } = form;
      await setOwnPassword(context, selfOf(caller), { password, code, secret });
      return { to: '/me?done=password' };
    },
    show: ({ caller, form, voice }, { faults }) => {
      const { password: _password, code: _code, ...typed } = form;
      return page(caller, voice, undefined, { typed, faults });
    },
  });
  answerForm(app, context, {
    path: '/me/language',
    needs: null,
    helmet: PASSKEY_HEADERS,
    record: async ({ caller, form }) => {
      const { language } = readBy(ownLanguage, { language: form['language'] ?? '' });
      await chooseLanguage(context, selfOf(caller), language === '' ? null : language);
      return { to: '/me?done=language' };
    },
    show,
  });
  answerForm(app, context, {
    path: '/me/recovery-codes',
    needs: null,
    helmet: PASSKEY_HEADERS,
    record: async ({ caller, voice }) => {
      const codes = await makeRecoveryCodes(context, selfOf(caller));
      return { page: renderFor(caller, 'recovery-codes', ...codesSheet(codes, voice)) };
    },
    show,
  });
  answerForm(app, context, {
    path: '/me/sessions/:id/end',
    needs: null,
    helmet: PASSKEY_HEADERS,
    record: async ({ caller, params }) => {
      await endOneSession(context, selfOf(caller), params.id);
      return { to: '/me?done=ended' };
    },
    show,
  });
  answerForm(app, context, {
    path: '/me/sessions/end',
    needs: null,
    helmet: PASSKEY_HEADERS,
    record: async ({ caller }) => {
      await endOtherSessions(context, selfOf(caller));
      return { to: '/me?done=ended' };
    },
    show,
  });
}
