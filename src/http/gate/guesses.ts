import rateLimit from '@fastify/rate-limit';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { sendProblem } from './problem.ts';

/** Answers a guess: true where the guesser has been sent away and the reply is done with. */
export type GuessCheck = (request: FastifyRequest, reply: FastifyReply) => Promise<boolean>;

/**
 * Counts wrong secrets by address and sends a guesser away for the rest of the minute. Only wrong
 * ones count, so that nobody who holds a good link is ever kept waiting by a neighbour.
 */
export async function countGuesses(app: FastifyInstance, aMinute: number): Promise<GuessCheck> {
  if (!app.hasDecorator('createRateLimit')) await app.register(rateLimit, { global: false });
  const check = app.createRateLimit({ max: aMinute, timeWindow: '1 minute' });
  return async (request, reply) => {
    const limit = await check(request);
    if (limit.isAllowed || !limit.isExceeded) return false;
    reply.header('retry-after', String(Math.max(1, limit.ttlInSeconds)));
    sendProblem(
      reply,
      429,
      'Too many links or keys that open nothing came from here. Wait a minute.',
    );
    return true;
  };
}
