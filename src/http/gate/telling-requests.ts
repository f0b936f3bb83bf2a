import { finished } from 'node:stream';
import type { FastifyInstance } from 'fastify';
import type { Work } from '../../usecases/context/watch.ts';
import { WORK } from '../../usecases/context/watch.ts';

/**
 * Tells whoever watches of each request, by the pattern of its route and never by its address, which may
 * hold a token, and has all that is done for it done inside. Register it before any route.
 */
export function tellOfRequests(app: FastifyInstance): void {
  app.addHook('onRequest', (request, reply, done) => {
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
    finished(reply.raw, () => {
      work.facts['http.response.status_code'] = reply.statusCode;
      WORK.asyncEnd.publish(work);
    });
    WORK.start.runStores(work, () => done());
  });
}
