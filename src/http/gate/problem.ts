import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import type { Fault, Refusal } from '../../domain/refusal.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Outage } from '../../usecases/context/outage.ts';
import type { AllowedAt } from './allowed-methods.ts';
import { outageOf } from '../../usecases/context/outage.ts';

/** A problem document (RFC 9457). `errors` says field by field what to do. */
export const problemShape = z
  .object({
    type: z.string(),
    title: z.string(),
    status: z.int(),
    detail: z.string().optional(),
    instance: z.string().optional(),
    errors: z.array(z.object({ pointer: z.string(), detail: z.string() })).optional(),
  })
  .meta({ id: 'Problem', description: 'What was wrong and what to do about it (RFC 9457).' });

type Problem = z.infer<typeof problemShape>;

const STATUS: Readonly<Record<Refusal['kind'], number>> = {
  invalid: 400,
  'not-found': 404,
  conflict: 409,
  'changed-meanwhile': 412,
  'precondition-missing': 428,
  'not-allowed': 403,
};

const TITLES: Readonly<Record<number, string>> = {
  400: 'The request cannot be understood',
  401: 'A key is needed',
  403: 'This key may not do that',
  404: 'There is nothing here',
  405: 'This cannot be done here',
  408: 'The request came too slowly',
  409: 'Something stands in the way',
  412: 'The record was changed meanwhile',
  413: 'The body is too large',
  414: 'The address is too long',
  415: 'The body is of a kind that is not taken here',
  422: 'The key was used for another request',
  431: 'The head of the request is too large',
  428: 'Say which version you change',
  429: 'Too many requests',
  500: 'Something went wrong here',
  503: 'Not ready',
};

/** A problem document for a status. */
export function problemOf(status: number, detail?: string, errors?: readonly Fault[]): Problem {
  return {
    type: `https://foldkeep.example.org/problems/${status}`,
    title: TITLES[status] ?? 'The request was refused',
    status,
    ...(detail === undefined ? {} : { detail }),
    ...(errors === undefined || errors.length === 0 ? {} : { errors: [...errors] }),
  };
}

/** Sends a problem document. It must not be cached, since the next try may go well. */
export function sendProblem(
  reply: FastifyReply,
  status: number,
  detail?: string,
  errors?: readonly Fault[],
): FastifyReply {
  return reply
    .code(status)
    .header('content-type', 'application/problem+json; charset=utf-8')
    .header('cache-control', 'no-store')
    .serializer(JSON.stringify)
    .send(problemOf(status, detail, errors));
}

/** Signs that one part of an address may have. */
export const LONGEST_PART = 200;

/** Said of an address that is no address, or has too long a part. */
export const UNREADABLE = 'This address cannot be read. See /reference.';

/** Answers every fault of this server with a problem document; what is unforeseen is logged only. */
export function answerProblems(app: FastifyInstance, allowedAt: AllowedAt): void {
  app.setErrorHandler((fault: FastifyError | Refused, request, reply) => {
    if (fault instanceof Refused) return refuse(reply, fault.refusal);
    const outage = outageOf(fault);
    if (outage !== null) {
      request.log.error({ err: fault }, 'the database is out');
      return sendOutage(reply, outage);
    }
    const status = fault.statusCode ?? 500;
    if (status >= 500) {
      request.log.error({ err: fault }, 'unforeseen fault');
      return sendProblem(
        reply,
        500,
        'This is a fault of the server, not of your request. Try again.',
      );
    }
    return sendProblem(reply, status, adviceOn(fault, request));
  });
  app.setNotFoundHandler((request: FastifyRequest, reply) => {
    const asked = `${request.method} ${pathOf(request.url)}`;
    const allowed = allowedAt(request.url.split('?')[0] ?? '');
    if (allowed.length === 0) {
      return sendProblem(reply, 404, `There is no ${asked}. See /reference.`);
    }
    const ways = allowed.join(', ');
    return sendProblem(reply.header('allow', ways), 405, `There is no ${asked}, only ${ways}.`);
  });
}

/** The database can do nothing just now: whoever asks may try again after a while. */
function sendOutage(reply: FastifyReply, outage: Outage): FastifyReply {
  return sendProblem(reply.header('retry-after', RETRY_AFTER), 503, OUTAGES[outage]);
}

/** Seconds. */
export const RETRY_AFTER = '5';

const OUTAGES: Readonly<Record<Outage, string>> = {
  unreachable:
    'The records cannot be reached just now. Send it again, with the same Idempotency-Key if it had one.',
  full: 'There is no room left to record anything. Tell whoever runs this server; then send it again.',
  damaged: 'The records are damaged. Tell whoever runs this server to restore a backup.',
};

function refuse(reply: FastifyReply, refusal: Refusal): FastifyReply {
  const status = STATUS[refusal.kind];
  switch (refusal.kind) {
    case 'invalid':
      return sendProblem(reply, status, 'Some fields need another value.', refusal.faults);
    case 'not-found':
      return sendProblem(reply, status, `There is no such ${refusal.what} here.`);
    case 'conflict':
      return sendProblem(reply, status, refusal.detail, refusal.faults);
    case 'changed-meanwhile':
    case 'precondition-missing':
    case 'not-allowed':
      return sendProblem(reply, status, refusal.detail);
  }
}

function adviceOn(fault: FastifyError, request: FastifyRequest): string {
  const { consumes } = request.routeOptions.schema ?? {};
  switch (fault.code) {
    case 'FST_ERR_CTP_INVALID_JSON_BODY':
    case 'FST_ERR_CTP_EMPTY_JSON_BODY':
      return 'The body is not JSON. Check its brackets, quotes and commas.';
    case 'FST_ERR_CTP_BODY_TOO_LARGE':
      return consumes === undefined
        ? 'The body may be 256 KB at most. Send it in parts.'
        : 'The message may be 256 KB at most. Leave off its end: a report says what matters near its beginning.';
    case 'FST_ERR_CTP_INVALID_MEDIA_TYPE':
      return `Send the body as ${(consumes ?? ['application/json']).join(' or ')}.`;
    default:
      return fault.message;
  }
}

function pathOf(url: string): string {
  return url.split('?')[0]?.slice(0, 200) ?? '';
}
