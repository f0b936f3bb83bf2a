import type { FastifyInstance, FastifyRequest } from 'fastify';
import { actingAs } from '../../usecases/context/acting.ts';
import type { Caller, Context } from '../../usecases/context/context.ts';
import { callerOf } from '../../usecases/organisations/organisations.ts';
import { countGuesses } from './guesses.ts';
import { sendProblem } from './problem.ts';

declare module 'fastify' {
  interface FastifyRequest {
    /** Who holds the key that a request behind `requireKey` was sent with. */
    keyHolder: Caller | null;
  }
}

const WRONG_KEYS_A_MINUTE = 30;
const READS: ReadonlySet<string> = new Set(['GET', 'HEAD']);

/** Who asks; only inside routes behind `requireKey`. */
export function caller(request: FastifyRequest): Caller {
  const found = request.keyHolder;
  if (found === null) throw new Error('this route is not behind a key');
  return found;
}

/** The key that a request was sent with, whether it opens anything or not; null where it has none. */
export function bearerOf(request: FastifyRequest): string | null {
  const match = /^Bearer ([A-Za-z0-9_-]{8,200})$/.exec(request.headers.authorization ?? '');
  return match?.[1] ?? null;
}

/** Every route of this scope needs a key, and a key that may do what the route does. */
export async function requireKey(app: FastifyInstance, context: Context): Promise<void> {
  app.decorateRequest('keyHolder', null);
  const guessed = await countGuesses(app, WRONG_KEYS_A_MINUTE);
  app.addHook('onRequest', async (request, reply) => {
    const key = bearerOf(request);
    const found = key === null ? null : await callerOf(context, key);
    if (found === null) {
      // Only a key that opens nothing is a guess; whoever sends none is told to.
      if (key !== null && (await guessed(request, reply))) return reply;
      reply.header('www-authenticate', 'Bearer realm="foldkeep"');
      return sendProblem(
        reply,
        401,
        'Send "Authorization: Bearer KEY" with a key from: npx foldkeep key --organisation NAME',
      );
    }
    if (!mayDo(found, request)) {
      const cars = found.carIds === undefined ? '' : ' or is bound to other cars';
      const detail = `A key with scope "${found.scope}" may not do this${cars}.`;
      return sendProblem(reply, 403, detail);
    }
    request.keyHolder = found;
    return undefined;
  });
}

/** Whatever the routes of this scope change, they change in their caller's name. */
export function noteAuthors(app: FastifyInstance, context: Context): void {
  app.addHook('preHandler', (request, _reply, done) => {
    // Reading leaves no trail; and following a caller through what is awaited costs every request.
    if (READS.has(request.method) || request.keyHolder === null) done();
    else actingAs(context, request.keyHolder, done);
  });
}

const LOGGING = /^\/v1\/cars\/([^/]+)\/(?:position|position-log|spells)(?:\/|\?|$)/;

function mayDo({ scope, carIds }: Caller, request: FastifyRequest): boolean {
  switch (scope) {
    case 'full':
      return true;
    case 'read':
      return request.method === 'GET' || request.method === 'HEAD';
    case 'log': {
      const car = LOGGING.exec(request.url)?.[1];
      return car !== undefined && (carIds === undefined || carIds.includes(car));
    }
  }
}
