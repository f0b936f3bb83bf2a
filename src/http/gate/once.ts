import type {
  FastifyInstance,
  FastifyReply,
  FastifyRequest,
  onSendHookHandler,
  RouteOptions,
} from 'fastify';
import type { Context } from '../../usecases/context/context.ts';
import type { OnceKey, StoredAnswer } from '../../usecases/once/idempotent-answers.ts';
import { answerApart, doOnce, keepRefusal } from '../../usecases/once/idempotent-answers.ts';
import { bearerOf, caller } from './keys.ts';
import { sendProblem } from './problem.ts';

type Handler = RouteOptions['handler'];

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Does nothing twice by itself: its answer is kept behind its deeds, not with them. */
    readonly answersApart?: boolean;
  }
}

/** Requests that were refused: the answer is still to be written, and kept under their key. */
const refused = new WeakMap<FastifyRequest, { readonly once: OnceKey; readonly asked: string }>();
const KEPT_HEADERS = ['content-type', 'etag', 'location'];

// A structured-field string (RFC 9651): printable ASCII in quotes, with \" and \\ escaped.
const KEY = /^"((?:[\x20\x21\x23-\x5b\x5d-\x7e]|\\["\\]){1,255})"$/;

/**
 * A POST that carries Idempotency-Key is done once: its repetition within 24 h gets the first
 * answer, another request under the same key is refused. The deed and its answer are committed
 * together, but for routes of which `answersApart` is said, so the handlers of these routes give their
 * answer back and never send it themselves.
 * What is kept of an answer is sealed with the caller's own key, so that links which are shown once
 * never lie readable in the database. Call it before the routes of the scope are added.
 */
export function answerOnce(app: FastifyInstance, context: Context): void {
  const keepRefused: onSendHookHandler = (request, reply, payload, done) => {
    const asked = refused.get(request);
    refused.delete(request);
    if (asked === undefined || reply.statusCode >= 500) {
      done(null, payload);
      return;
    }
    const answer = answerOf(reply, typeof payload === 'string' ? payload : '');
    // Nothing was done, so nothing is lost where it cannot be kept: a repetition is decided anew.
    keepRefusal(context, asked.once, asked.asked, answer)
      .catch((err: unknown) => request.log.warn({ err }, 'a refusal was not kept'))
      .finally(() => done(null, payload));
  };
  app.addHook('onRoute', (route) => {
    if (route.method !== 'POST') return;
    route.handler = onceOnly(context, route.handler);
    route.onSend = [route.onSend ?? [], keepRefused].flat();
  });
}

function onceOnly(context: Context, handler: Handler): Handler {
  const once = underKey(context, handler);
  return function answer(request, reply) {
    const isNamed = request.headers['idempotency-key'] !== undefined;
    return (isNamed ? once : handler).call(this, request, reply);
  };
}

/** Answers a request that carries Idempotency-Key. */
function underKey(context: Context, handler: Handler): Handler {
  return async function answerUnderKey(request, reply) {
    const header = request.headers['idempotency-key'];
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
    const answer = request.routeOptions.config.answersApart === true ? answerApart : doOnce;
    const done = await answer(context, once, asked, async () => {
      const record: unknown = await handler.call(this, request, reply);
      if (reply.sent) throw new Error(`POST ${request.routeOptions.url} answers before its commit`);
      return answerOf(reply, reply.serialize(record) as string);
    }).catch((fault: unknown) => {
      refused.set(request, { once, asked });
      throw fault;
    });
    switch (done.kind) {
      case 'done':
        return sendAs(reply, done.answer);
      case 'repeat':
        return sendAs(reply.header('idempotency-replayed', 'true'), done.answer);
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
          `This was answered with ${done.status} before; the answer is no longer kept, because somebody was erased since. GET what you asked for, or take a new Idempotency-Key to do it again.`,
        );
    }
  };
}

function answerOf(reply: FastifyReply, body: string): StoredAnswer {
  const headers: Record<string, string> = {};
  for (const name of KEPT_HEADERS) {
    const value = reply.getHeader(name);
    if (value !== undefined) headers[name] = String(value);
  }
  return { status: reply.statusCode, headers: { 'content-type': JSON_TYPE, ...headers }, body };
}

const JSON_TYPE = 'application/json; charset=utf-8';

function sendAs(reply: FastifyReply, { status, headers, body }: StoredAnswer): FastifyReply {
  return reply.code(status).headers(headers).serializer(String).send(body);
}
