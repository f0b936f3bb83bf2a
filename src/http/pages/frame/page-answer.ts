import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { Refused } from '../../../domain/refusal.ts';
import { outageOf } from '../../../usecases/context/outage.ts';
import { LONGEST_PART, RETRY_AFTER, sendProblem, UNREADABLE } from '../../gate/problem.ts';
import { policyText } from '../../gate/safe-headers.ts';
import { Misshapen } from '../../gate/shape-check.ts';
import { broken, nowhere, refused, unknownLink } from './problem-sheet.ts';
import { renderPage } from './render.ts';
import { voiceOf } from './spoken-to.ts';

/** Sends a page. It is kept nowhere and listed by nobody. */
export function sendPage(reply: FastifyReply, html: string, status = 200): FastifyReply {
  const headers = {
    'content-type': 'text/html; charset=utf-8',
    'cache-control': 'no-store',
    'x-robots-tag': 'noindex',
  };
  for (const [name, value] of Object.entries(headers)) {
    if (!reply.hasHeader(name)) reply.header(name, value);
  }
  return reply.code(status).send(html);
}

const WITHOUT_SCRIPT = policyText({});
// The script that keeps a form while the line is down, and what it sends.
const WITH_SCRIPT = policyText({ 'script-src': ["'self'"], 'connect-src': ["'self'"] });

/**
 * Sends a page of the signed-in shop. Its forms must name their origin, which a page without any
 * referrer would withhold; its addresses hold no tokens that could be told.
 */
export function sendShopPage(reply: FastifyReply, html: string, status = 200): FastifyReply {
  reply.header('referrer-policy', 'same-origin');
  // A page with a policy of its own keeps it.
  if (reply.getHeader('content-security-policy') === WITHOUT_SCRIPT) {
    reply.header('content-security-policy', WITH_SCRIPT);
  }
  return sendPage(reply, html, status);
}

/** The same page for every link that opens nothing, whatever the reason. */
export function sendUnknown(request: FastifyRequest, reply: FastifyReply): FastifyReply {
  const voice = voiceOf(request);
  return sendPage(reply, renderPage('problem', ...unknownLink(voice)), 404);
}

/**
 * An unknown address gets a page where a browser asks for one; programs, and whatever lies under the API,
 * get the problem document of the whole server.
 */
export function answerUnknownAddresses(app: FastifyInstance): void {
  app.get('/*', { schema: { hide: true } }, async (request, reply) => {
    // The route of all addresses takes those too that the router would have found too long.
    const parts = (request.url.split('?')[0] ?? '').split('/');
    if (parts.some((part) => part.length > LONGEST_PART))
      return sendProblem(reply, 414, UNREADABLE);
    const asksForPage = (request.headers.accept ?? '').includes('text/html');
    if (!asksForPage || /^\/v1(?:\/|$)/.test(request.url)) {
      reply.callNotFound();
      return reply;
    }
    return sendPage(reply, renderPage('problem', ...nowhere(voiceOf(request))), 404);
  });
}

/** Faults in this scope are answered with pages; what is unforeseen is logged only. */
export function answerWithPages(app: FastifyInstance): void {
  app.setErrorHandler((fault: Error & { statusCode?: number }, request, reply) => {
    const voice = voiceOf(request);
    const unknown = fault instanceof Refused && fault.refusal.kind === 'not-found';
    if (unknown || fault instanceof Misshapen) return sendUnknown(request, reply);
    if (fault instanceof Refused) {
      return sendPage(
        reply,
        renderPage('problem', ...refused(voice, wordsOf(fault).map(voice.tell), null)),
        400,
      );
    }
    if (outageOf(fault) !== null) {
      request.log.error({ err: fault }, 'the database is out');
      reply.header('retry-after', RETRY_AFTER);
      return sendPage(reply, renderPage('problem', ...broken(voice)), 503);
    }
    const status = fault.statusCode ?? 500;
    if (status < 500) {
      const page = refused(voice, [voice.tell(fault.message)], null);
      return sendPage(reply, renderPage('problem', ...page), status);
    }
    request.log.error({ err: fault }, 'unforeseen fault');
    return sendPage(reply, renderPage('problem', ...broken(voice)), 500);
  });
}

function wordsOf({ refusal, message }: Refused): string[] {
  return refusal.kind === 'invalid' ? refusal.faults.map(({ detail }) => detail) : [message];
}
