import type { FastifyHelmetOptions } from '@fastify/helmet';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { Right } from '../../../domain/people/rights.ts';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Refusal } from '../../../domain/refusal.ts';
import { Refused } from '../../../domain/refusal.ts';
import { actingAs } from '../../../usecases/context/acting.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { tryOut } from '../../../usecases/letters/try-out.ts';
import { newId } from '../../../usecases/context/new-id.ts';
import type { Sent } from '../frame/form.ts';
import { faultsInForm } from './refusal-words.ts';
import type { Recorded } from './form-once.ts';
import { once } from './form-once.ts';
import { sendShopPage } from '../frame/page-answer.ts';
import { SURE, sureSheet } from './sure-sheet.ts';
import { isOwnForm, sessionToken, signedIn } from './session.ts';
import { cleanId, refuseForm, refuseRight, refuseSignedOut, renderFor } from './shop-page.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { voiceOf } from '../frame/spoken-to.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { fieldsOf, LARGEST_FORM } from '../frame/small-form.ts';

/** A form as it came in. */
export interface Sending {
  readonly caller: Visitor;
  readonly params: { readonly id: string; readonly entryId: string };
  readonly form: SmallForm;
  /** Speaks the language of whoever sent it. */
  readonly voice: Voice;
}

/** A form of the shop's pages. */
export interface ShopForm {
  readonly path: string;
  /** The right that it takes; to record work where absent, none but a sign-in where null. */
  readonly needs?: Right | null;
  /** Headers of its page where they differ from those of all pages. */
  readonly helmet?: FastifyHelmetOptions;
  /** Bytes that it may have; 1 KB where absent. */
  readonly largest?: number;
  /** Records what it says, through a use case, and names the page to go on with. */
  readonly record: (sending: Sending) => Promise<Recorded>;
  /** The page with the form again, as it was typed, with what was wrong. */
  readonly show: (sending: Sending, sent: Sent) => Promise<string>;
  /** The field that a pointer of a refusal means; the pointer's own path where absent. */
  readonly fieldAt?: (pointer: string, form: SmallForm) => string | null;
  /** Whether it was sent for more room instead of being recorded. */
  readonly wantsMore?: (form: SmallForm) => boolean;
  /** For what writes to owners or takes something away: what it will do is shown before it is done. */
  readonly first?: First;
}

/** What is said before a deed is done. */
export interface First {
  /** Whether it is asked about even where no letter is touched. */
  readonly always: boolean;
  /** Where nothing is asked, such as an undo right after the deed. */
  readonly skip?: (sending: Sending) => boolean | Promise<boolean>;
  readonly heading: string | ((sending: Sending) => string);
  readonly button: string | ((sending: Sending) => string);
  readonly words: (sending: Sending) => Promise<readonly string[]> | readonly string[];
  /** The page that it began on. */
  readonly back: (sending: Sending) => string;
}

/** The name under which a fresh form is recorded once. */
export function freshOnce(): string {
  return newId();
}

/**
 * Answers a form of the signed-in shop. It must come from a page of this server and from a key that
 * may change things; it is recorded once, however often it is sent; what is refused comes back as it
 * was typed. Then a redirect, so that reloading repeats nothing.
 */
export function answerForm(app: FastifyInstance, context: Context, shopForm: ShopForm): void {
  const { path, largest = LARGEST_FORM, needs = 'record-work' } = shopForm;
  const { helmet } = shopForm;
  const own = helmet === undefined ? {} : { helmet };
  const options = { schema: { hide: true }, bodyLimit: largest, ...own };
  app.post<{ Params: { id?: string; entryId?: string } }>(path, options, async (request, reply) => {
    if (!isOwnForm(request, context)) return refuseForm(request, reply, 403, 'form.foreign');
    const caller = await signedIn(request, context);
    if (caller === null) return refuseSignedOut(request, reply);
    if (needs !== null && !hasRight(caller, needs)) {
      return refuseRight(request, reply, caller);
    }
    const { id = '-', entryId = '-' } = request.params;
    const params = { id: cleanId(id), entryId: cleanId(entryId) };
    const form = fieldsOf(request.body);
    const sending = { caller, params, form, voice: voiceOf(request) };
    return answer(context, shopForm, sending, request, reply);
  });
}

async function answer(
  context: Context,
  shopForm: ShopForm,
  sending: Sending,
  request: FastifyRequest,
  reply: FastifyReply,
): Promise<FastifyReply> {
  const { form, voice } = sending;
  const again = async (status: number, faults: Sent['faults'], meanwhile = false) =>
    sendShopPage(reply, await shopForm.show(sending, { typed: form, faults, meanwhile }), status);
  if (shopForm.wantsMore?.(form) === true) return again(200, []);
  const name = form['once'] ?? '';
  if (!/^[\w-]{8,64}$/.test(name))
    return again(400, [{ field: null, words: voice.say('form.incomplete') }]);
  const { keyId } = sending.caller;
  const secret = sessionToken(request, context) ?? '';
  const key = { keyId, secret, key: `${request.url.slice(0, 200)} ${name}` };
  try {
    const asked = await askFirst(context, shopForm, sending, request);
    if (asked !== null) return await sendShopPage(reply, asked);
    const came = await actingAs(context, sending.caller, () =>
      once(context, key, JSON.stringify(form), () => shopForm.record(sending)),
    );
    switch (came.kind) {
      case 'recorded':
        return goOn(reply, came.recorded);
      case 'other':
        return await again(409, [{ field: null, words: voice.say('form.recorded-before') }]);
      case 'forgotten':
        return refuseForm(request, reply, 409, 'form.forgotten');
      case 'running':
        return refuseForm(request, reply, 409, 'form.running');
    }
  } catch (fault) {
    if (!(fault instanceof Refused) || fault.refusal.kind === 'not-found') throw fault;
    const { refusal } = fault;
    const fieldAt = shopForm.fieldAt ?? pathOf;
    const faults = faultsInForm(refusal, (pointer) => fieldAt(pointer, form), voice);
    return again(STATUS[refusal.kind] ?? 400, faults, refusal.kind === 'changed-meanwhile');
  }
}

/** The page that says what the deed will do; null where there is nothing to say, or all was said. */
async function askFirst(
  context: Context,
  { first, record }: ShopForm,
  sending: Sending,
  request: FastifyRequest,
): Promise<string | null> {
  const { caller, form } = sending;
  if (first === undefined || form[SURE] === 'yes') return null;
  if ((await first.skip?.(sending)) === true) return null;
  const tried = async () => tryOut(context, caller, () => record(sending));
  try {
    const effects = await actingAs(context, caller, tried);
    if (!first.always && effects.cancelled.length + effects.written.length === 0) return null;
    const words = await first.words(sending);
    const inWords = (one: First['heading']) => (typeof one === 'string' ? one : one(sending));
    const asked = {
      heading: inWords(first.heading),
      button: inWords(first.button),
      words,
      back: first.back(sending),
    };
    const sent = { action: request.url, fields: form };
    const sheet = sureSheet(asked, effects, sent, sending.voice);
    return renderFor(caller, 'sure', ...sheet);
  } catch (fault) {
    // Recorded already, it is refused here and answered as before below; else it is refused there too.
    if (fault instanceof Refused && fault.refusal.kind !== 'not-found') return null;
    throw fault;
  }
}

const STATUS: Partial<Record<Refusal['kind'], number>> = {
  conflict: 409,
  'changed-meanwhile': 409,
  'not-allowed': 403,
};

function goOn(reply: FastifyReply, recorded: Recorded): FastifyReply {
  if ('page' in recorded) return sendShopPage(reply, recorded.page);
  return reply.header('cache-control', 'no-store').redirect(recorded.to, 303);
}

/** A field is named as it stands in the API's body. */
export function pathOf(pointer: string): string | null {
  return pointer.startsWith('#/') ? pointer.slice(2) : null;
}
