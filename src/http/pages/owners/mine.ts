import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { readOwnerPage } from '../../../usecases/owner-door/owner-page.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { sendShopPage } from '../frame/page-answer.ts';
import { homeOf } from '../frame/navigation.ts';
import { isOwnForm, signedIn } from '../shop/session.ts';
import { mayRecord, renderFor } from '../shop/shop-page.ts';
import type { OwnerEntrance } from './owner.ts';
import { doneIn, ownerDeeds } from './owner.ts';
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
    const [frame, model] = ownerSheet(record, voiceFor(record.owner.language), {
      base: '/mine',
      done: doneIn(request.query['done']),
      card: null,
      records: mayRecord(visitor),
    });
    return sendShopPage(
      reply,
      renderFor(visitor, 'owner', { ...frame, nav: { here: 'mine' } }, model),
    );
  });
  const closed = async (request: FastifyRequest, reply: FastifyReply) => {
    const to = (await signedIn(request, context)) === null ? '/sign-in' : '/home';
    return reply.header('cache-control', 'no-store').redirect(to, 303);
  };
  const door: OwnerEntrance['door'] = async (request) => {
    if (!isOwnForm(request, context)) return null;
    const visitor = await signedIn(request, context);
    return visitor !== null && mayRecord(visitor) ? { signedIn: visitor } : null;
  };
  ownerDeeds(app, context, { path: '/mine', door, closed });
}
