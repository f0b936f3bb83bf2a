import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Instant } from '../../../domain/calendar/instant.ts';
import { POSITIONS } from '../../../domain/folding/position-log.ts';
import { invalid, Refused } from '../../../domain/refusal.ts';
import type { Context } from '../../../usecases/context/context.ts';
import type { NewEntry } from '../../../usecases/cars/log-position.ts';
import { recordOwnOiling, takeBackOwnOiling } from '../../../usecases/owner-door/owner-oiling.ts';
import type { OwnerPageRecord } from '../../../usecases/owner-door/owner-page.ts';
import {
  logOwnPosition,
  readOwnerPage,
  withdrawOwnEntry,
} from '../../../usecases/owner-door/owner-page.ts';
import { cardSheet } from './card-sheet.ts';
import { OWNER_DONE, type OwnerDone, ownerSheet, stayOf } from './owner-sheet.ts';
import { refused } from '../frame/problem-sheet.ts';
import { renderPage } from '../frame/render.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { instantIn } from '../shop/form-body.ts';
import type { GuessCheck } from '../frame/guesses.ts';
import { sendPage, sendUnknown } from '../frame/page-answer.ts';
import { fieldsOf, LARGEST_FORM, type SmallForm } from '../frame/small-form.ts';

interface Asked {
  Params: { token: string; carId: string; entryId: string };
  Querystring: { done?: string };
}

/** What a form of the page asks for; says what was done, for the page that follows. */
type Act = (asked: Asked['Params'], form: SmallForm, record: OwnerPageRecord) => Promise<OwnerDone>;

/**
 * An owner's own page, opened by a link. Opening it changes nothing; its forms are plain POSTs that
 * lead back to it, so that reloading repeats nothing.
 */
export function ownerPages(app: FastifyInstance, context: Context, guessed: GuessCheck): void {
  const schema = { hide: true };
  app.get<Asked>('/o/:token', { schema }, async (request, reply) => {
    const { token } = request.params;
    const record = await readOwnerPage(context, token);
    if (record === null)
      return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
    const done = OWNER_DONE.find((word) => word === request.query.done) ?? null;
    const sheet = ownerSheet(record, voiceFor(record.owner.language), `/o/${token}`, done);
    return sendPage(reply, renderPage('owner', ...sheet));
  });
  app.get<Asked>('/o/:token/card', { schema }, async (request, reply) => {
    const { token } = request.params;
    const record = await readOwnerPage(context, token);
    if (record === null)
      return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
    const { organisation, owner } = record;
    const path = `/o/${token}`;
    const voice = voiceFor(owner.language);
    const address = `${context.publicUrl}${path}`;
    const sheet = cardSheet(organisation.name, address, path, stayOf(record, voice), voice);
    return sendPage(reply, renderPage('card', ...sheet));
  });
  const act = (path: string, work: Act) =>
    app.post<Asked>(
      `/o/:token/cars/:carId/${path}`,
      { schema, bodyLimit: LARGEST_FORM },
      answer(work),
    );
  const answer =
    (work: Act) =>
    async (
      request: { params: Asked['Params']; body: unknown } & Parameters<GuessCheck>[0],
      reply: FastifyReply,
    ) => {
      const { params } = request;
      const record = await readOwnerPage(context, params.token);
      if (record === null)
        return (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
      if (!record.cars.some(({ id }) => id === params.carId)) return sendUnknown(request, reply);
      try {
        const done = await work(params, fieldsOf(request.body), record);
        return await reply
          .header('cache-control', 'no-store')
          .redirect(`/o/${params.token}?done=${done}`, 303);
      } catch (fault) {
        return refuse(reply, fault, record, `/o/${params.token}`);
      }
    };
  act('position', async ({ token, carId }, form, record) => {
    const entry = entryOf(form, zoneOf(record, carId), record.now);
    await logOwnPosition(context, token, carId, entry);
    return entry.position === 'folded-under-hard-top' ? 'laid-up' : entry.position;
  });
  act('entries/:entryId/withdraw', async ({ token, carId, entryId }) => {
    if (!/^[\w-]{1,64}$/.test(entryId)) throw new Refused({ kind: 'not-found', what: 'entry' });
    await withdrawOwnEntry(context, token, carId, entryId);
    return 'withdrawn';
  });
  act('oiled', async ({ token, carId }) => {
    await recordOwnOiling(context, token, carId);
    return 'oiled';
  });
  act('oiled/withdraw', async ({ token, carId }) => {
    await takeBackOwnOiling(context, token, carId);
    return 'unoiled';
  });
}

function refuse(
  reply: FastifyReply,
  fault: unknown,
  { owner }: OwnerPageRecord,
  backTo: string,
): FastifyReply {
  if (!(fault instanceof Refused) || fault.refusal.kind !== 'invalid') throw fault;
  const voice = voiceFor(owner.language);
  const time = fault.refusal.faults.some(({ pointer }) => ['#/at', '#/when'].includes(pointer));
  const words = voice.say(time ? 'owner.refused.when' : 'owner.refused');
  return sendPage(reply, renderPage('problem', ...refused(voice, [words], backTo)), 400);
}

function zoneOf(record: OwnerPageRecord, carId: string): string {
  return record.cars.find(({ id }) => id === carId)?.timeZone ?? 'UTC';
}

/** The entry that a form describes. A tick that is not set says nothing about the cover. */
function entryOf(form: SmallForm, timeZone: string, now: Instant): NewEntry {
  const position = POSITIONS.find((known) => known === form['position']);
  if (position === undefined) throw invalid('#/position', 'Say where the top is.');
  return {
    position,
    at: instantIn(form, 'when', timeZone) ?? now,
    ...(form['damp'] === undefined ? {} : { damp: true }),
    ...(form['coverOn'] === undefined ? {} : { coverOn: true }),
  };
}
