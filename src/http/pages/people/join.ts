import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { SESSION_DAYS } from '../../../domain/people/patience.ts';
import { Refused } from '../../../domain/refusal.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { newAuthenticator } from '../../../usecases/people/authenticator.ts';
import type { JoinRecord, NewMeans } from '../../../usecases/people/join.ts';
import { askNewcomerForPasskey, join, readInvitation } from '../../../usecases/people/join.ts';
import { email, language, line, timeZone } from '../../../usecases/records/record-fields.ts';
import type { GuessCheck } from '../../gate/guesses.ts';
import { sendProblem } from '../../gate/problem.ts';
import { PASSKEY_HEADERS } from '../../gate/safe-headers.ts';
import type { Sent } from '../frame/form.ts';
import { sendShopPage, sendUnknown } from '../frame/page-answer.ts';
import { renderPage } from '../frame/render.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { fieldsOf } from '../frame/small-form.ts';
import { readBy, textIn } from '../shop/form-body.ts';
import { faultsInForm } from '../shop/refusal-words.ts';
import { arrivalOf, giveBrowser, giveSession, isOwnForm } from '../shop/session.ts';
import { voiceOf } from '../frame/spoken-to.ts';
import { refuseForm } from '../shop/shop-page.ts';
import { pathOf } from '../shop/shop-form.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { joinSheet, KINDS } from './join-sheet.ts';

const LARGEST = 8 * 1024;

const person = { name: line(100), email };
const newcomer = z.strictObject(person);
const first = z.strictObject({
  ...person,
  organisation: z.strictObject({
    name: line(200),
    kind: z.enum(KINDS),
    timeZone,
    language,
  }),
});

interface Asked {
  Params: { token: string };
}

/** Coming in by a link: an invitation, the first of all, or somebody who lost their means. */
export function joinPages(
  app: FastifyInstance,
  context: Context,
  wrongLink: GuessCheck,
  asked: GuessCheck,
): void {
  const options = { schema: { hide: true }, bodyLimit: LARGEST, helmet: PASSKEY_HEADERS };
  const invited = async (
    request: FastifyRequest<Asked>,
    reply: FastifyReply,
  ): Promise<JoinRecord | null> => {
    try {
      return await readInvitation(context, request.params.token);
    } catch (fault) {
      if (!(fault instanceof Refused)) throw fault;
      if (!(await wrongLink(request, reply))) sendUnknown(request, reply);
      return null;
    }
  };
  const show = (
    request: FastifyRequest,
    reply: FastifyReply,
    token: string,
    invitation: JoinRecord,
    sent: Sent | null,
    status = 200,
  ) => {
    // The secret that stands on the page already stays, or what was set up with it would be lost.
    const typed = sent?.typed['secret'];
    const authenticator = newAuthenticator(invitation.email ?? 'you', typed);
    const sheet = joinSheet(invitation, { token, authenticator, sent, context }, voiceOf(request));
    return sendShopPage(reply, renderPage('join', ...sheet), status);
  };

  app.get<Asked>('/join/:token', options, async (request, reply) => {
    const invitation = await invited(request, reply);
    return invitation === null
      ? reply
      : show(request, reply, request.params.token, invitation, null);
  });
  app.post<Asked>('/join/:token/ask', options, async (request, reply) => {
    if (!isOwnForm(request, context))
      return sendProblem(reply, 403, voiceOf(request).say('join.foreign'));
    if (await asked(request, reply)) return reply;
    const form = fieldsOf(request.body);
    try {
      const typed = newcomerIn(form, await readInvitation(context, request.params.token));
      const challenge = await askNewcomerForPasskey(context, request.params.token, typed);
      return await reply.header('cache-control', 'no-store').send(challenge);
    } catch (fault) {
      if (!(fault instanceof Refused)) throw fault;
      return sendProblem(reply, 400, wordsOf(fault, voiceOf(request)));
    }
  });
  app.post<Asked>('/join/:token', options, async (request, reply) => {
    if (!isOwnForm(request, context)) return refuseForm(request, reply, 403, 'join.foreign');
    const invitation = await invited(request, reply);
    if (invitation === null) return reply;
    const { token } = request.params;
    const form = fieldsOf(request.body);
    try {
      const typed = newcomerIn(form, invitation);
      const arrival = arrivalOf(request, context);
      const came = await join(context, token, typed, meansIn(form), arrival);
      giveSession(reply, context, came.token, SESSION_DAYS * 24);
      giveBrowser(reply, context, came.browser);
      return await reply
        .header('cache-control', 'no-store')
        .redirect(invitation.organisation === null ? '/start' : '/me?done=joined', 303);
    } catch (fault) {
      if (!(fault instanceof Refused) || fault.refusal.kind === 'not-found') throw fault;
      const { password: _password, code: _code, step: _step, answer: _answer, ...typed } = form;
      const faults = faultsInForm(fault.refusal, (pointer) => fieldAt(pointer), voiceOf(request));
      return show(request, reply, token, invitation, { typed, faults }, 400);
    }
  });
}

function newcomerIn(form: SmallForm, invitation: JoinRecord) {
  const typed = {
    name: textIn(form, 'name') ?? invitation.name ?? '',
    email: invitation.email ?? textIn(form, 'email') ?? '',
  };
  if (invitation.organisation !== null) return readBy(newcomer, typed);
  const kind = textIn(form, 'kind');
  const organisation = {
    // Letters about one's own cars come from oneself.
    name: textIn(form, 'organisation') ?? (kind === 'private' ? typed.name : ''),
    kind,
    timeZone: textIn(form, 'timeZone') ?? '',
    language: textIn(form, 'language') ?? '',
  };
  return readBy(first, { ...typed, organisation });
}

function meansIn(form: SmallForm): NewMeans {
  const { step = '', answer = '', password = '', code = '', secret = '' } = form;
  return answer === ''
    ? { kind: 'password', password, code, secret }
    : { kind: 'passkey', step, answer };
}

function fieldAt(pointer: string): string | null {
  const path = pathOf(pointer);
  if (path === 'organisation/name') return 'organisation';
  return path?.replace('organisation/', '') ?? null;
}

function wordsOf({ refusal, message }: Refused, { tell }: Voice): string {
  return refusal.kind === 'invalid'
    ? refusal.faults.map(({ detail }) => tell(detail)).join(' ')
    : tell(message);
}
