import type { FastifyBaseLogger } from 'fastify';
import type { Context } from '../usecases/context/context.ts';
import { readBounceMailbox } from '../usecases/delivery/read-bounce-mailbox.ts';
import { atTicks } from './ticks.ts';

// Mail servers slow down whoever connects more often.
const EVERY_FIVE_MINUTES = '*/5 * * * *';

/**
 * Looks into the mailbox for returned mail at the start and every five minutes, never twice at once.
 * A mailbox that cannot be opened is logged and tried again; nothing else waits for it.
 */
export function watchBounceMailbox(
  context: Context,
  imapUrl: string,
  log: FastifyBaseLogger,
): { stop(): Promise<void> } {
  let looking: Promise<void> | null = null;
  const stopping = new AbortController();
  const look = async (): Promise<void> => {
    try {
      const { read, applied, left, fault } = await readBounceMailbox(
        context,
        imapUrl,
        {},
        stopping.signal,
      );
      if (fault !== null) log.warn({ fault }, 'mailbox for returned letters');
      if (read > 0) log.info({ read, applied, left }, 'returned letters read');
    } catch (err) {
      log.error({ err }, 'reading returned letters failed');
    }
  };
  const tick = async (): Promise<void> => {
    if (looking !== null) return;
    looking = look();
    await looking;
    looking = null;
  };
  const task = atTicks(EVERY_FIVE_MINUTES, tick);
  void tick();
  return {
    async stop() {
      stopping.abort();
      await task.stop();
      await looking;
    },
  };
}
