import type { FastifyInstance } from 'fastify';
import type { Deed } from '../../usecases/deed.ts';
import { sendProblem } from '../problem.ts';
import type { Doorway } from '../doorway.ts';
import { referenceRoutes } from './reference.ts';

/** Pages for people, and the addresses that machines watch. None of them needs a key. */
export async function pageRoutes(
  app: FastifyInstance,
  _deed: Deed,
  doorway: Doorway,
): Promise<void> {
  const hidden = { schema: { hide: true } };
  app.get('/healthz', hidden, async () => ({ status: 'ok' }));
  app.get('/readyz', hidden, async (_request, reply) => {
    const state = await doorway.ready();
    if (state.ready) return { status: 'ready', parts: state.parts };
    const words = Object.entries(state.parts).map(([part, word]) => `${part}: ${word}`);
    return sendProblem(reply, 503, words.join('; '));
  });
  app.get('/metrics', hidden, async (_request, reply) => {
    const { contentType, text } = await doorway.metrics();
    return reply.header('content-type', contentType).send(text);
  });
  referenceRoutes(app);
}
