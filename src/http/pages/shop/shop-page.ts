import type { FastifyHelmetOptions } from '@fastify/helmet';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { Right } from '../../../domain/people/rights.ts';
import { hasRight } from '../../../domain/people/rights.ts';
import { Refused } from '../../../domain/refusal.ts';
import type { Caller, Context, Visitor } from '../../../usecases/context/context.ts';
import type { Frame } from '../frame/frame.ts';
import type { PageModels } from '../frame/page-models.ts';
import { notRecorded, nowhere } from '../frame/problem-sheet.ts';
import { renderPage } from '../frame/render.ts';
import { sendShopPage } from '../frame/page-answer.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { fieldsOf } from '../frame/small-form.ts';
import { voiceOf } from '../frame/spoken-to.ts';
import { leadToSignIn, signedIn } from './session.ts';
import { signedOutSheet } from './signed-out-sheet.ts';

/** What a page of the shop is asked for; texts of the address are texts or absent. */
export interface Asking {
  readonly caller: Visitor;
  /** Speaks their language. */
  readonly voice: Voice;
  /** Of the record that the page is about; "-" where the address names none that can be. */
  readonly id: string;
  readonly query: (name: string) => string | undefined;
}

interface Asked {
  Params: { id?: string };
  Querystring: Record<string, unknown>;
}

/** Writes the page that was asked for. */
export type Answer = (asking: Asking) => Promise<string>;

/** Writes a page under the links of whoever is signed in. */
export function renderFor<N extends keyof PageModels>(
  { kind, language }: Visitor,
  name: N,
  { nav, ...frame }: Frame,
  model: PageModels[N],
): string {
  return renderPage(
    name,
    { ...frame, nav: nav === null ? null : { ...nav, kind, language } },
    model,
  );
}

/** A page for whoever is signed in and has the right to it. It changes nothing and is kept nowhere. */
export function showPage(
  app: FastifyInstance,
  context: Context,
  path: string,
  answer: Answer,
  needs: Right | null = 'read-records',
  headers: FastifyHelmetOptions = {},
): void {
  app.get<Asked>(path, { schema: { hide: true }, helmet: headers }, async (request, reply) => {
    const caller = await signedIn(request, context);
    if (caller === null) return leadToSignIn(request, reply, context);
    if (needs !== null && !hasRight(caller, needs)) return refuseRight(request, reply, caller);
    try {
      return await sendShopPage(reply, await answer(askingOf(caller, request)));
    } catch (fault) {
      if (!(fault instanceof Refused) || fault.refusal.kind !== 'not-found') throw fault;
      // Whoever is signed in came by a page or a mark of the browser, not by a link of a letter.
      const page = renderFor(caller, 'problem', ...nowhere(voiceOf(request)));
      return sendShopPage(reply, page, 404);
    }
  });
}

/** A page with a form: as `showPage`, for whoever may record something. */
export function showForm(
  app: FastifyInstance,
  context: Context,
  path: string,
  answer: Answer,
  needs: Right = 'record-work',
): void {
  showPage(app, context, path, answer, needs);
}

/** Whether a key may record something on the pages; one that only reads is shown no forms. */
export function mayRecord(caller: Caller): boolean {
  return hasRight(caller, 'record-work');
}

/** Says why a form is not shown or not recorded, by the key of the words. */
export function refuseForm(
  request: FastifyRequest,
  reply: FastifyReply,
  status: number,
  key: string,
): FastifyReply {
  return refuseInWords(request, reply, status, voiceOf(request).say(key));
}

/** Says why a form is not shown or not recorded. */
export function refuseInWords(
  request: FastifyRequest,
  reply: FastifyReply,
  status: number,
  words: string,
): FastifyReply {
  const page = renderPage('problem', ...notRecorded(voiceOf(request), words));
  return sendShopPage(reply, page, status);
}

/** Nothing that was typed is lost where the sign-in ended meanwhile: the page holds it to be sent. */
export function refuseSignedOut(request: FastifyRequest, reply: FastifyReply): FastifyReply {
  const sheet = signedOutSheet(request.url, fieldsOf(request.body), voiceOf(request));
  return sheet === null
    ? refuseForm(request, reply, 401, 'form.signed-out.anew')
    : sendShopPage(reply, renderPage('signed-out', ...sheet), 401);
}

/** Says why somebody may not do something, and what would help. */
export function refuseRight(
  request: FastifyRequest,
  reply: FastifyReply,
  { role, scope }: Caller,
): FastifyReply {
  const { say } = voiceOf(request);
  if (role !== undefined) {
    const words = say('form.not-allowed.role', { role: say(`role.${role}`) });
    return refuseInWords(request, reply, 403, words);
  }
  const why = scope === 'full' ? 'form.not-allowed.key' : 'form.not-allowed.read';
  return refuseForm(request, reply, 403, why);
}

function askingOf(caller: Visitor, request: FastifyRequest<Asked>): Asking {
  return {
    caller,
    voice: voiceOf(request),
    id: cleanId(request.params.id ?? ''),
    query: (name) => textOf(request.query[name]),
  };
}

/** A query may name a thing twice; then it names nothing. */
function textOf(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined;
}

/** No record has an id with other signs, and a database may choke on some. */
export function cleanId(id: string): string {
  return /^[\w-]{1,64}$/.test(id) ? id : '-';
}
