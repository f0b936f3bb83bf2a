import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { POSITIONS } from '../../../domain/folding/position-log.ts';
import { PLACES, SALTS, USES } from '../../../domain/lubrication/keeping.ts';
import { invalid, Refused } from '../../../domain/refusal.ts';
import type { OwnerDoor } from '../../../usecases/cars/owner-car.ts';
import type { Context } from '../../../usecases/context/context.ts';
import type { NewEntry } from '../../../usecases/cars/log-position.ts';
import { recordOwnOiling, takeBackOwnOiling } from '../../../usecases/owner-door/owner-oiling.ts';
import type { OwnerPageRecord } from '../../../usecases/owner-door/owner-page.ts';
import {
  logOwnPosition,
  readOwnerPage,
  correctOwnEntry,
  withdrawOwnEntry,
} from '../../../usecases/owner-door/owner-page.ts';
import { tellKeeping } from '../../../usecases/owner-door/tell-keeping.ts';
import { cardSheet } from './card-sheet.ts';
import type { OwnerSent } from './entry-form.ts';
import { ownerSent } from './entry-form.ts';
import { OWNER_DONE, type OwnerDone, ownerSheet, stayOf } from './owner-sheet.ts';
import { renderPage } from '../frame/render.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { instantIn } from '../shop/form-body.ts';
import type { GuessCheck } from '../../gate/guesses.ts';
import { sendPage, sendUnknown } from '../frame/page-answer.ts';
import { fieldsOf, LARGEST_FORM, type SmallForm } from '../frame/small-form.ts';

interface Asked {
  Params: { token: string; carId: string; entryId: string };
  Querystring: { done?: string };
}

/** How an owner's page is reached: by a link that was handed out, or by a private owner's sign-in. */
export interface OwnerEntrance {
  /** Where its routes stand; may hold parameters. */
  readonly path: string;
  readonly door: (request: FastifyRequest<Asked>) => Promise<OwnerDoor | null>;
  /** The page again, with a form that could not be recorded. */
  readonly again: (
    request: FastifyRequest<Asked>,
    reply: FastifyReply,
    record: OwnerPageRecord,
    sent: OwnerSent,
  ) => Promise<FastifyReply>;
  /** The answer to whom no door opens. */
  readonly closed: (request: FastifyRequest<Asked>, reply: FastifyReply) => Promise<FastifyReply>;
}

/** What a form of the page asks for; says what was done, for the page that follows. */
type Act = (
  door: OwnerDoor,
  asked: Asked['Params'],
  form: SmallForm,
  record: OwnerPageRecord,
) => Promise<OwnerDone>;

/**
 * An owner's own page, opened by a link. Opening it changes nothing; its forms are plain POSTs that
 * lead back to it, so that reloading repeats nothing.
 */
export function ownerPages(app: FastifyInstance, context: Context, guessed: GuessCheck): void {
  const schema = { hide: true };
  const closed: OwnerEntrance['closed'] = async (request, reply) =>
    (await guessed(request, reply)) ? reply : sendUnknown(request, reply);
  const door: OwnerEntrance['door'] = async ({ params: { token } }) => ({ token });
  const page = (
    record: OwnerPageRecord,
    token: string,
    done: OwnerDone | null,
    sent: OwnerSent | null,
  ) => {
    const view = { base: `/o/${token}`, done, card: `/o/${token}/card`, sent };
    return renderPage('owner', ...ownerSheet(record, voiceFor(record.owner.language), view));
  };
  const again: OwnerEntrance['again'] = async ({ params: { token } }, reply, record, sent) =>
    sendPage(reply, page(record, token, null, sent), 400);
  app.get<Asked>('/o/:token', { schema }, async (request, reply) => {
    const { token } = request.params;
    const record = await readOwnerPage(context, { token });
    if (record === null) return closed(request, reply);
    return sendPage(reply, page(record, token, doneIn(request.query.done), null));
  });
  app.get<Asked>('/o/:token/card', { schema }, async (request, reply) => {
    const { token } = request.params;
    const record = await readOwnerPage(context, { token });
    if (record === null) return closed(request, reply);
    const { organisation, owner } = record;
    const path = `/o/${token}`;
    const voice = voiceFor(owner.language);
    const address = `${context.publicUrl}${path}`;
    const sheet = cardSheet(organisation.name, address, path, stayOf(record, voice), voice);
    return sendPage(reply, renderPage('card', ...sheet));
  });
  ownerDeeds(app, context, { path: '/o/:token', door, again, closed });
}

/** What the page says of a form that was just recorded. */
export function doneIn(query: unknown): OwnerDone | null {
  return OWNER_DONE.find((word) => word === query) ?? null;
}

/** The forms of an owner's page. */
export function ownerDeeds(app: FastifyInstance, context: Context, entrance: OwnerEntrance): void {
  const act = (path: string, work: Act) => {
    const options = { schema: { hide: true }, bodyLimit: LARGEST_FORM };
    app.post<Asked>(`${entrance.path}/cars/:carId/${path}`, options, async (request, reply) => {
      const { params } = request;
      const door = await entrance.door(request);
      const record = door === null ? null : await readOwnerPage(context, door);
      if (door === null || record === null) return entrance.closed(request, reply);
      if (!record.cars.some(({ id }) => id === params.carId)) return sendUnknown(request, reply);
      const back = entrance.path.replace(':token', params.token);
      const form = fieldsOf(request.body);
      try {
        const done = await work(door, params, form, record);
        return await reply
          .header('cache-control', 'no-store')
          .redirect(`${back}?done=${done}`, 303);
      } catch (fault) {
        if (!(fault instanceof Refused) || fault.refusal.kind !== 'invalid') throw fault;
        return entrance.again(request, reply, record, ownerSent(fault.refusal, params, form));
      }
    });
  };
  act('position', async (door, { carId }, form, record) => {
    const entry = entryOf(form, clockOf(record, carId));
    await logOwnPosition(context, door, carId, entry);
    return entry.position === 'folded-under-hard-top' ? 'laid-up' : entry.position;
  });
  act('entries/:entryId/withdraw', async (door, { carId, entryId }) => {
    if (!/^[\w-]{1,64}$/.test(entryId)) throw new Refused({ kind: 'not-found', what: 'entry' });
    await withdrawOwnEntry(context, door, carId, entryId);
    return 'withdrawn';
  });
  act('entries/:entryId/correct', async (door, { carId, entryId }, form, record) => {
    if (!/^[\w-]{1,64}$/.test(entryId)) throw new Refused({ kind: 'not-found', what: 'entry' });
    const clock = clockOf(record, carId);
    const entry = { ...entryOf(form, clock), at: instantIn(form, 'when', clock) };
    await correctOwnEntry(context, door, carId, entryId, entry);
    return 'corrected';
  });
  act('oiled', async (door, { carId }) => {
    await recordOwnOiling(context, door, carId);
    return 'oiled';
  });
  act('oiled/withdraw', async (door, { carId }) => {
    await takeBackOwnOiling(context, door, carId);
    return 'unoiled';
  });
  act('keeping', async (door, { carId }, form) => {
    await tellKeeping(context, door, carId, {
      place: PLACES.find((known) => known === form['place']),
      salt: SALTS.find((known) => known === form['salt']),
      use: USES.find((known) => known === form['use']),
    });
    return 'kept';
  });
}

/** By what times are read that an owner types: the car's clock, now, the owner's language. */
function clockOf({ cars, now, owner }: OwnerPageRecord, carId: string) {
  const timeZone = cars.find(({ id }) => id === carId)?.timeZone ?? 'UTC';
  return { timeZone, now, voice: voiceFor(owner.language) };
}

/** The entry that a form describes. A tick that is not set says nothing about the cover. */
function entryOf(form: SmallForm, clock: ReturnType<typeof clockOf>): NewEntry {
  const position = POSITIONS.find((known) => known === form['position']);
  if (position === undefined) throw invalid('#/position', 'Say where the top is.');
  return {
    position,
    at: instantIn(form, 'when', clock) ?? clock.now,
    ...(form['damp'] === undefined ? {} : { damp: true }),
    ...(form['coverOn'] === undefined ? {} : { coverOn: true }),
  };
}
