import type { FastifyInstance, FastifyRequest } from 'fastify';
import { msOf } from '../../../domain/calendar/instant.ts';
import type { Context } from '../../../usecases/context/context.ts';
import type { DiaryFeed } from '../../../usecases/diary/diary-feed.ts';
import { readDiaryFeed } from '../../../usecases/diary/diary-feed.ts';
import type { GuessCheck } from '../../gate/guesses.ts';

/**
 * The organisation's diary for calendar programs. They ask again by themselves, some every day and
 * some every week, so a diary that did not change costs them a word (RFC 9110, 13.1) and no more.
 */
export function calendarFeed(app: FastifyInstance, context: Context, guessed: GuessCheck): void {
  app.get<{ Params: { token: string } }>(
    '/calendar/:token(^[A-Za-z0-9_-]+).ics',
    { schema: { hide: true } },
    async (request, reply) => {
      const feed = await readDiaryFeed(context, request.params.token);
      if (feed === null) {
        if (await guessed(request, reply)) return reply;
        return reply
          .code(404)
          .header('content-type', 'text/plain; charset=utf-8')
          .send('There is no such calendar. Its address may have been revoked.\n');
      }
      reply.headers({
        etag: `"${feed.tag}"`,
        'last-modified': new Date(feed.changedAt).toUTCString(),
        'cache-control': 'private, max-age=3600',
        'x-robots-tag': 'noindex',
      });
      if (isKnown(request, feed)) return reply.code(304).send();
      return reply.header('content-type', 'text/calendar; charset=utf-8').send(feed.text);
    },
  );
}

/** Whether the program has these very bytes: the tag decides, the day only where none was sent. */
function isKnown({ headers }: FastifyRequest, { tag, changedAt }: DiaryFeed): boolean {
  const tags = headers['if-none-match'];
  if (tags !== undefined) {
    const known = tags.split(',').map((one) => one.trim().replace(/^W\//, ''));
    return known.includes('*') || known.includes(`"${tag}"`);
  }
  const since = Date.parse(headers['if-modified-since'] ?? '');
  return Number.isFinite(since) && Math.floor(msOf(changedAt) / 1000) * 1000 <= since;
}
