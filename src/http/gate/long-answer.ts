import { Readable } from 'node:stream';
import type { FastifyReply } from 'fastify';
import { portions } from '../../usecases/context/turns.ts';

const ITEMS_AT_ONCE = 200;

/**
 * Sends `{"items": […]}` portion by portion: a list of some ten thousand entries is some megabytes,
 * and writing those out at once would keep everybody else waiting. The items must be what the
 * route's shape says, for nothing checks them on the way.
 */
export function sendLong(reply: FastifyReply, items: readonly object[]): FastifyReply {
  return reply.type('application/json; charset=utf-8').send(Readable.from(written(items)));
}

async function* written(items: readonly object[]): AsyncGenerator<string> {
  let between = '';
  yield '{"items":[';
  for await (const some of portions(items, ITEMS_AT_ONCE)) {
    yield between + some.map((item) => JSON.stringify(item)).join(',');
    between = ',';
  }
  yield ']}';
}
