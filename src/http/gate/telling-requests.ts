import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Work } from '../../usecases/context/watch.ts';
import { WORK } from '../../usecases/context/watch.ts';

/**
 * Tells whoever watches of each request, by the pattern of its route and never by its address, which may
 * hold a token, and has all that is done for it done inside. Register it before any route.
 */
export function tellOfRequests(app: FastifyInstance): void {
  const open = new WeakMap<FastifyRequest, Work>();
  app.addHook('onRequest', (request, _reply, done) => {
    if (!WORK.start.hasSubscribers) {
      done();
      return;
    }
    const { method } = request;
    const route = request.routeOptions.url;
    const work: Work = {
      kind: 'request',
      name: route === undefined ? method : `${method} ${route}`,
      facts: {
        'http.request.method': method,
        ...(route === undefined ? {} : { 'http.route': route }),
      },
    };
    open.set(request, work);
    WORK.start.runStores(work, () => done());
  });
  app.addHook('onResponse', (request, reply, done) => {
    const work = open.get(request);
    if (work !== undefined) {
      work.facts['http.response.status_code'] = reply.statusCode;
      WORK.asyncEnd.publish(work);
    }
    done();
  });
}
