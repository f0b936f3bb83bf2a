import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import type { OwnerPageRecord } from '../../../usecases/owner-door/owner-page.ts';
import { readOwnerPage } from '../../../usecases/owner-door/owner-page.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { sendShopPage } from '../frame/page-answer.ts';
import { homeOf } from '../frame/navigation.ts';
import { isOwnForm, leadToSignIn, signedIn } from '../shop/session.ts';
import { mayRecord, refuseSignedOut, renderFor } from '../shop/shop-page.ts';
import type { OwnerEntrance } from './owner.ts';
import { doneIn, ownerDeeds } from './owner.ts';
import type { OwnerSent } from './entry-form.ts';
import type { OwnerDone } from './owner-sheet.ts';
import { ownerSheet } from './owner-sheet.ts';

/**
 * The front page of a private owner: her own cars, where each top stands and what to do, with the
 * buttons of an owner's page. `/home` leads everybody who is signed in to the own front page.
 */
export function minePages(app: FastifyInstance, context: Context): void {
  const options = { schema: { hide: true } };
  app.get('/home', options, async (request, reply) => {
    const visitor = await signedIn(request, context);
    const to = visitor === null ? '/sign-in' : homeOf(visitor);
    return reply.header('cache-control', 'no-store').redirect(to, 303);
  });
  app.get<{ Querystring: Record<string, unknown> }>('/mine', options, async (request, reply) => {
    const visitor = await signedIn(request, context);
    const reads = visitor !== null && hasRight(visitor, 'read-records');
    const record = reads ? await readOwnerPage(context, { signedIn: visitor }) : null;
    if (visitor === null || record === null) return closed(request, reply);
    return sendShopPage(reply, page(visitor, record, doneIn(request.query['done']), null));
  });
  const page = (
    visitor: Visitor,
    record: OwnerPageRecord,
    done: OwnerDone | null,
    sent: OwnerSent | null,
  ) => {
    const view = { base: '/mine', done, card: null, records: mayRecord(visitor), sent };
    const [frame, model] = ownerSheet(record, voiceFor(record.owner.language), view);
    return renderFor(visitor, 'owner', { ...frame, nav: { here: 'mine' } }, model);
  };
  const again: OwnerEntrance['again'] = async (request, reply, record, sent) => {
    const visitor = await signedIn(request, context);
    if (visitor === null) return closed(request, reply);
    return sendShopPage(reply, page(visitor, record, null, sent), 400);
  };
  const closed = async (request: FastifyRequest, reply: FastifyReply) => {
    if ((await signedIn(request, context)) !== null) {
      return reply.header('cache-control', 'no-store').redirect('/home', 303);
    }
    return request.method === 'POST' && isOwnForm(request, context)
      ? refuseSignedOut(request, reply)
      : leadToSignIn(request, reply, context);
  };
  const door: OwnerEntrance['door'] = async (request) => {
    if (!isOwnForm(request, context)) return null;
    const visitor = await signedIn(request, context);
    return visitor !== null && mayRecord(visitor) ? { signedIn: visitor } : null;
  };
  ownerDeeds(app, context, { path: '/mine', door, again, closed });
}
