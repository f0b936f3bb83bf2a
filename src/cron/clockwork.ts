import type { FastifyBaseLogger } from 'fastify';
import type { Context } from '../usecases/context/context.ts';
import type { Sender } from '../usecases/context/sender.ts';
import type { DeliveryOptions } from '../usecases/delivery/deliver-letters.ts';
import { deliverLetters } from '../usecases/delivery/deliver-letters.ts';
import { BEAT_MS, beatHeart, stopHeart } from '../usecases/delivery/heartbeat.ts';
import { keepErasures } from '../usecases/owners/erase-again.ts';
import { checkClock } from '../usecases/organisations/readiness.ts';
import { forgetOld } from '../usecases/privacy/retention.ts';
import { sendDailyMails } from '../usecases/day/daily-mail.ts';
import { keepDays } from '../usecases/day/keep-ahead.ts';
import { planRound } from '../usecases/round/plan-round.ts';
import { atTicks } from './ticks.ts';

export interface Clocks {
  readonly roundCron: string | null;
  readonly deliveryCron: string | null;
  /** Where erasures are kept away from the database; null where `restore` keeps them. */
  readonly erasedFile: string | null;
  /** How letters leave; the limits are those of the whole process. */
  readonly delivery: DeliveryOptions;
}

/**
 * Holds the round and the delivery by the clock. Both are level-triggered: a tick that was missed
 * is made good by the next one, so each is also held once at the start.
 */
export function startClockwork(
  context: Context,
  sender: Sender,
  clocks: Clocks,
  log: FastifyBaseLogger,
): { stop(): Promise<void> } {
  const stopping = new AbortController();
  const running = new Set<Promise<unknown>>();
  const hold = (name: string, work: () => Promise<unknown>) => async () => {
    if (stopping.signal.aborted) return;
    const turn = work().catch((fault: unknown) => log.error({ err: fault }, `${name} failed`));
    running.add(turn);
    await turn;
    running.delete(turn);
  };
  const round = hold('round', async () => {
    const clock = await checkClock(context);
    if (clock !== 'ok') log.warn({ clock }, 'the clock and the records disagree');
    const { planned, cancelled, setAside } = await planRound(context, {
      withLetters: false,
      signal: stopping.signal,
    });
    if (planned + cancelled > 0) log.info({ planned, cancelled }, 'round held');
    if (setAside > 0) log.error({ setAside }, 'owners with damaged records got no letters');
  });
  // After the round: letters are worth more than a page that opens at once.
  const days = hold('the reckoning of the day', () =>
    keepDays(context, { signal: stopping.signal }),
  );
  const { mailFrom } = clocks.delivery;
  const dailyMails = hold('the mail of the day', async () => {
    const { sent, failed } = await sendDailyMails(context, async (message, name) => {
      const from = { name, address: mailFrom.address };
      return (await sender.send({ ...message, from })).kind === 'sent';
    });
    if (sent > 0) log.info({ sent }, 'mails of the day sent');
    if (failed > 0) log.warn({ failed }, 'mails of the day that nobody took over');
  });
  const holder = clocks.delivery.holder ?? null;
  const heart = hold('heartbeat', async () => {
    if (holder !== null) await beatHeart(context, holder);
  });
  const beating = setInterval(() => void heart(), BEAT_MS);
  const delivery = hold('delivery', () =>
    deliverLetters(context, sender, { ...clocks.delivery, signal: stopping.signal }),
  );
  const retention = hold('retention', async () => {
    const forgotten = await forgetOld(context, { signal: stopping.signal });
    if (forgotten > 0) log.info({ forgotten }, 'records past their time taken out');
  });
  const { erasedFile } = clocks;
  const erasures = hold('keeping of erasures', async () => {
    if (erasedFile !== null) await keepErasures(context, erasedFile);
  });
  const tasks = [
    ...(erasedFile === null ? [] : [atTicks(EVERY_MINUTE, erasures)]),
    atTicks(RETENTION_CRON, retention),
    ...(clocks.roundCron === null
      ? []
      : [
          atTicks(clocks.roundCron, async () => {
            await round();
            await days();
            if (clocks.deliveryCron !== null) await dailyMails();
          }),
        ]),
    ...(clocks.deliveryCron === null ? [] : [atTicks(clocks.deliveryCron, delivery)]),
  ];
  void (async () => {
    await heart();
    if (clocks.roundCron !== null) await round();
    if (clocks.deliveryCron !== null) await delivery();
    if (clocks.roundCron === null) return;
    await days();
    if (clocks.deliveryCron !== null) await dailyMails();
  })();
  return {
    async stop() {
      stopping.abort();
      for (const task of tasks) await task.stop();
      await Promise.all(running);
      clearInterval(beating);
      if (erasedFile !== null) await keepErasures(context, erasedFile).catch(() => undefined);
      if (holder !== null) await stopHeart(context, holder).catch(() => undefined);
    },
  };
}

// An erasure that a restore undoes within this minute is the one that nobody remembers.
const EVERY_MINUTE = '* * * * *';
// Once an hour: months are counted, so no more is needed.
const RETENTION_CRON = '17 * * * *';
