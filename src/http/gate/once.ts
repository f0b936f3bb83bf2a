import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Context } from '../../usecases/context/context.ts';
import type { OnceKey } from '../../usecases/once/idempotent-answers.ts';
import { beginOnce, endOnce } from '../../usecases/once/idempotent-answers.ts';
import { bearerOf, caller } from './keys.ts';
import { sendProblem } from './problem.ts';

const keys = new WeakMap<FastifyRequest, OnceKey>();
const KEPT_HEADERS = ['content-type', 'etag', 'location'];

// A structured-field string (RFC 9651): printable ASCII in quotes, with \" and \\ escaped.
const KEY = /^"((?:[\x20\x21\x23-\x5b\x5d-\x7e]|\\["\\]){1,255})"$/;

/**
 * A POST that carries Idempotency-Key is done once: its repetition within 24 h gets the first
 * answer, another request under the same key is refused, and so is one while the first still runs.
 * What is kept of an answer is sealed with the caller's own key, so that links which are shown once
 * never lie readable in the database.
 */
export function answerOnce(app: FastifyInstance, context: Context): void {
  app.addHook('preHandler', async (request, reply) => {
    const header = request.headers['idempotency-key'];
    if (header === undefined || request.method !== 'POST') return undefined;
    const key = KEY.exec(String(header))?.[1];
    if (key === undefined) {
      return sendProblem(reply, 400, 'Write Idempotency-Key as a quoted string: "8e03978e-40d5".', [
        {
          pointer: 'Idempotency-Key',
          detail: 'A string in double quotes, 255 characters at most.',
        },
      ]);
    }
    const once = { keyId: caller(request).keyId, secret: bearerOf(request) ?? '', key };
    const asked = `${request.method} ${request.url}\n${JSON.stringify(request.body ?? null)}`;
    const begun = await beginOnce(context, once, asked);
    switch (begun.kind) {
      case 'first':
        keys.set(request, once);
        return undefined;
      case 'running':
        return sendProblem(
          reply,
          409,
          'The first request with this Idempotency-Key still runs. Wait.',
        );
      case 'other-request':
        return sendProblem(
          reply,
          422,
          'This Idempotency-Key was used for another request. Take a new key for each request.',
        );
      case 'forgotten':
        return sendProblem(
          reply,
          409,
          `This was answered with ${begun.status} before; the answer is no longer kept, because somebody was erased since. GET what you asked for, or take a new Idempotency-Key to do it again.`,
        );
      case 'repeat':
        return reply
          .code(begun.answer.status)
          .headers({ ...begun.answer.headers, 'idempotency-replayed': 'true' })
          .serializer(String)
          .send(begun.answer.body);
    }
  });
  app.addHook('onSend', async (request, reply, payload) => {
    const once = keys.get(request);
    if (once === undefined) return payload;
    keys.delete(request);
    const headers: Record<string, string> = {};
    for (const name of KEPT_HEADERS) {
      const value = reply.getHeader(name);
      if (value !== undefined) headers[name] = String(value);
    }
    const answer =
      reply.statusCode >= 500
        ? null
        : { status: reply.statusCode, headers, body: typeof payload === 'string' ? payload : '' };
    await endOnce(context, once, answer);
    return payload;
  });
}
