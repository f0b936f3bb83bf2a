import type { Socket } from 'node:net';
import type { FastifyInstance } from 'fastify';
import { problemOf } from './problem.ts';

/** How long a connection is waited for, in milliseconds: shop rules, common practice, no source. */
export interface Patience {
  /** For the head of a request. */
  readonly head: number;
  /** For a whole request; the largest body needs no more than 5 KB a second. */
  readonly request: number;
  /** After a stop, for the requests in hand; then their connections are closed. */
  readonly drain: number;
}

export const PATIENCE: Patience = { head: 20_000, request: 60_000, drain: 10_000 };

/** What the server is made with, so that a request which trickles in comes to an end. */
export function patientServer({ head, request }: Patience) {
  return {
    requestTimeout: request,
    http: {
      headersTimeout: Math.min(head, request),
      connectionsCheckingInterval: Math.min(5_000, Math.ceil(Math.min(head, request) / 4)),
    },
    clientErrorHandler: answerBroken,
  };
}

const BROKEN: Readonly<Record<string, readonly [number, string, string]>> = {
  ERR_HTTP_REQUEST_TIMEOUT: [408, 'Request Timeout', 'The request took too long to arrive.'],
  HPE_HEADER_OVERFLOW: [431, 'Request Header Fields Too Large', 'The head is too long.'],
};

/** Answers what never became a request, and ends its connection. */
function answerBroken(fault: Error & { code?: string }, socket: Socket): void {
  if (fault.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy();
    return;
  }
  const [status, title, detail] = BROKEN[fault.code ?? ''] ?? [
    400,
    'Bad Request',
    'This is no HTTP request.',
  ];
  const body = JSON.stringify(problemOf(status, detail));
  const head = [
    `HTTP/1.1 ${status} ${title}`,
    'Content-Type: application/problem+json; charset=utf-8',
    `Content-Length: ${Buffer.byteLength(body)}`,
    'Connection: close',
  ];
  socket.end(`${head.join('\r\n')}\r\n\r\n${body}`, () => socket.destroy());
}

/** Stops taking requests and waits for those in hand, but not for ever. */
export async function drain(server: FastifyInstance, { drain: most }: Patience): Promise<void> {
  const limit = setTimeout(() => server.server.closeAllConnections(), most);
  try {
    await server.close();
  } finally {
    clearTimeout(limit);
  }
}
