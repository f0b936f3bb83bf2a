import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import { Refused } from '../../../domain/refusal.ts';
import { SHARE_KINDS } from '../../../domain/sharing/share-kind.ts';
import type { OwnerDoor } from '../../../usecases/cars/owner-car.ts';
import type { Context } from '../../../usecases/context/context.ts';
import {
  joinCars,
  makeJoinCode,
  partCars,
  readSharing,
  shareOwn,
} from '../../../usecases/sharing/own-sharing.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { GuessCheck } from '../../gate/guesses.ts';
import { sendPage, sendUnknown } from '../frame/page-answer.ts';
import { renderPage } from '../frame/render.ts';
import { fieldsOf, LARGEST_FORM, type SmallForm } from '../frame/small-form.ts';
import { isOwnForm, signedIn } from '../shop/session.ts';
import { mayRecord } from '../shop/shop-page.ts';
import type { SharingDone } from './sharing-sheet.ts';
import { SHARING_DONE, sharingSheet } from './sharing-sheet.ts';

interface Asked {
  Params: { token?: string; carId?: string };
  Querystring: { done?: string };
}
type Request = FastifyRequest<Asked>;

interface Entrance {
  readonly path: string;
  /** Null where nothing opens; for a form also where it came from elsewhere. */
  readonly door: (request: Request, form: boolean) => Promise<OwnerDoor | null>;
  readonly closed: (request: Request, reply: FastifyReply) => Promise<FastifyReply>;
}

type Shown = Partial<Pick<Parameters<typeof sharingSheet>[2], 'done' | 'code' | 'wrong'>>;

/**
 * Where an owner says who sees what: on the page behind an owner's link, and on the front page of a
 * private owner. Opening it changes nothing; every form is one press and leads back to it.
 */
export function sharingPages(app: FastifyInstance, context: Context, guessed: GuessCheck): void {
  entrance(app, context, {
    path: '/o/:token',
    door: async ({ params: { token = '' } }) => ({ token }),
    closed: async (request, reply) =>
      (await guessed(request, reply)) ? reply : sendUnknown(request, reply),
  });
  entrance(app, context, {
    path: '/mine',
    door: async (request, form) => {
      if (form && !isOwnForm(request, context)) return null;
      const visitor = await signedIn(request, context);
      const may =
        visitor !== null && (form ? mayRecord(visitor) : hasRight(visitor, 'read-records'));
      return may ? { signedIn: visitor } : null;
    },
    closed: async (_request, reply) =>
      reply.header('cache-control', 'no-store').redirect('/home', 303),
  });
}

function entrance(app: FastifyInstance, context: Context, { path, door, closed }: Entrance): void {
  const options = { schema: { hide: true }, bodyLimit: LARGEST_FORM };
  const baseOf = ({ params: { token = '' } }: Request) => path.replace(':token', token);
  const show = async (request: Request, reply: FastifyReply, opened: OwnerDoor, shown: Shown) => {
    const record = await readSharing(context, opened);
    if (record === null) return closed(request, reply);
    const back = baseOf(request);
    const sheet = sharingSheet(record, voiceFor(record.language), {
      base: `${back}/sharing`,
      back,
      done: null,
      code: null,
      wrong: false,
      ...shown,
    });
    return sendPage(reply, renderPage('sharing', ...sheet), shown.wrong === true ? 400 : 200);
  };
  app.get<Asked>(`${path}/sharing`, { schema: { hide: true } }, async (request, reply) => {
    const opened = await door(request, false);
    if (opened === null) return closed(request, reply);
    const done = SHARING_DONE.find((word) => word === request.query.done) ?? null;
    return show(request, reply, opened, { done });
  });
  app.post<Asked>(`${path}/sharing/:carId`, options, async (request, reply) => {
    const opened = await door(request, true);
    if (opened === null || (await readSharing(context, opened)) === null) {
      return closed(request, reply);
    }
    const { carId = '' } = request.params;
    const form = fieldsOf(request.body);
    if (form['act'] === 'code') {
      const code = await makeJoinCode(context, opened, carId);
      return show(request, reply, opened, { code: { carId, code } });
    }
    try {
      const done = await act(context, opened, carId, form);
      const to = `${baseOf(request)}/sharing?done=${done}`;
      return await reply.header('cache-control', 'no-store').redirect(to, 303);
    } catch (fault) {
      if (!(fault instanceof Refused) || fault.refusal.kind !== 'invalid') throw fault;
      return show(request, reply, opened, { wrong: true });
    }
  });
}

async function act(
  context: Context,
  door: OwnerDoor,
  carId: string,
  form: SmallForm,
): Promise<SharingDone> {
  const to = form['to'] ?? '';
  if (form['act'] === 'join') {
    await joinCars(context, door, carId, (form['code'] ?? '').slice(0, 100));
    return 'joined';
  }
  if (form['act'] === 'part') {
    await partCars(context, door, carId, to);
    return 'parted';
  }
  const kind = SHARE_KINDS.find((one) => one === form['kind']);
  if (kind === undefined) throw new Refused({ kind: 'not-found', what: 'kind of record' });
  const shown = form['shown'] === 'yes';
  await shareOwn(context, door, { carId, to, kind, shown });
  return shown ? 'shown' : 'hidden';
}
