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
import { cleanId, notAllowedWords, refuseForm, renderFor } from './shop-page.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { fieldsOf, LARGEST_FORM } from '../frame/small-form.ts';

/** A form as it came in. */
export interface Sending {
  readonly caller: Visitor;
  readonly params: { readonly id: string; readonly entryId: string };
  readonly form: SmallForm;
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
  readonly skip?: (sending: Sending) => boolean;
  readonly heading: string | ((sending: Sending) => string);
  readonly button: string;
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
    if (!isOwnForm(request, context)) return refuseForm(reply, 403, FOREIGN_FORM);
    const caller = await signedIn(request, context);
    if (caller === null) return refuseForm(reply, 401, SIGNED_OUT);
    if (needs !== null && !hasRight(caller, needs)) {
      return refuseForm(reply, 403, notAllowedWords(caller));
    }
    const { id = '-', entryId = '-' } = request.params;
    const params = { id: cleanId(id), entryId: cleanId(entryId) };
    const sending = { caller, params, form: fieldsOf(request.body) };
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
  const { form } = sending;
  const again = async (status: number, faults: Sent['faults'], meanwhile = false) =>
    sendShopPage(reply, await shopForm.show(sending, { typed: form, faults, meanwhile }), status);
  if (shopForm.wantsMore?.(form) === true) return again(200, []);
  const name = form['once'] ?? '';
  if (!/^[\w-]{8,64}$/.test(name)) return again(400, [{ field: null, words: INCOMPLETE }]);
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
        return await again(409, [{ field: null, words: RECORDED_BEFORE }]);
      case 'forgotten':
        return refuseForm(reply, 409, FORGOTTEN);
      case 'running':
        return refuseForm(reply, 409, RUNNING);
    }
  } catch (fault) {
    if (!(fault instanceof Refused) || fault.refusal.kind === 'not-found') throw fault;
    const { refusal } = fault;
    const fieldAt = shopForm.fieldAt ?? pathOf;
    const faults = faultsInForm(refusal, (pointer) => fieldAt(pointer, form));
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
  if (first === undefined || form[SURE] === 'yes' || first.skip?.(sending) === true) return null;
  const tried = async () => tryOut(context, caller, () => record(sending));
  try {
    const effects = await actingAs(context, caller, tried);
    if (!first.always && effects.cancelled.length + effects.written.length === 0) return null;
    const words = await first.words(sending);
    const heading = typeof first.heading === 'string' ? first.heading : first.heading(sending);
    const sheet = sureSheet({ ...first, heading, words, back: first.back(sending) }, effects, {
      action: request.url,
      fields: form,
    });
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

const FOREIGN_FORM = 'That form came from another site. Open the page here and fill it in there.';
const SIGNED_OUT =
  'You were signed out meanwhile. Sign in again in a second window, come back here, step back once and press again: what you typed is still there.';
const INCOMPLETE = 'The page came back incomplete. Look through it and press again.';
const RECORDED_BEFORE =
  'This page was recorded once already, with something else in it. Press again if what stands here shall be recorded besides.';
const FORGOTTEN = 'This was recorded before. Look at the car before you record it again.';
const RUNNING =
  'The first press is still at work. Look at the car in a moment, before you press again.';
