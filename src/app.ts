import type { FastifyInstance, FastifyServerOptions } from 'fastify';
import { watchBounceMailbox } from './cron/bounce-mailbox.ts';
import { startClockwork } from './cron/clockwork.ts';
import { readMetrics } from './http/metrics.ts';
import type { Doorway } from './http/doorway.ts';
import { buildServer } from './http/server.ts';
import { senderFor } from './mail/sender-for.ts';
import type { Sender } from './mail/sender.ts';
import { openStore } from './store/open-store.ts';
import type { Store } from './store/store.ts';
import type { Deed } from './usecases/deed.ts';
import type { DeliveryOptions } from './usecases/deliver-letters.ts';
import { deliverLetters } from './usecases/deliver-letters.ts';
import { DeliveryLimits } from './usecases/delivery-limits.ts';
import { forgetUnended } from './usecases/idempotent-answers.ts';
import { checkDatabase } from './usecases/readiness.ts';
import type { Settings } from './config.ts';

/** The program with all its parts wired, before it listens. */
export interface App {
  readonly deed: Deed;
  readonly store: Store;
  readonly sender: Sender;
  readonly server: FastifyInstance;
  /** Lets every letter leave that may leave now. */
  deliver(): Promise<unknown>;
  /** Starts the round, the delivery and the look for returned letters by the clock. */
  startClock(): void;
  /** Listens, and says where. */
  listen(): Promise<string>;
  /** Stops taking work, finishes what is in flight and closes everything. */
  close(): Promise<void>;
}

export interface Injected {
  readonly now?: () => string;
  readonly logger?: FastifyServerOptions['logger'];
}

/** The deeds alone, for commands that need no server. */
export async function openDeed(settings: Settings, injected: Injected = {}): Promise<Deed> {
  const store = await openStore(settings.databaseUrl);
  return deedOf(settings, store, injected);
}

function deedOf(settings: Settings, store: Store, injected: Injected): Deed {
  return {
    store,
    now: injected.now ?? (() => new Date().toISOString()),
    publicUrl: settings.publicUrl,
    mailDomain: settings.mailFrom.address.split('@')[1] ?? 'localhost',
  };
}

/** One set of limits for all runs of this process; the mail tray needs none. */
function deliveryOf({ mailFrom, bounceAddress, smtpUrl, mailLimits }: Settings): DeliveryOptions {
  return {
    mailFrom,
    ...(bounceAddress === null ? {} : { bounceAddress }),
    ...(smtpUrl === null ? {} : { limits: new DeliveryLimits(mailLimits) }),
  };
}

/** Wires the program. Only the clock and the sender are handed in; all else follows from settings. */
export async function buildApp(settings: Settings, injected: Injected = {}): Promise<App> {
  const sender = await senderFor(settings);
  const deed = await openDeed(settings, injected);
  const { store } = deed;
  const delivery = deliveryOf(settings);
  await forgetUnended(deed, deed.now());
  let clockwork: ReturnType<typeof startClockwork> | null = null;
  let mailbox: ReturnType<typeof watchBounceMailbox> | null = null;
  const doorway: Doorway = {
    mailTray: settings.smtpUrl === null ? settings.mailTray : null,
    ready: async () => {
      const database = await checkDatabase(deed);
      return { ready: database === 'ok', parts: { database } };
    },
    metrics: () => readMetrics(deed),
  };
  const server = await buildServer(deed, doorway, injected.logger ?? { level: settings.logLevel });
  return {
    deed,
    store,
    sender,
    server,
    deliver: () => deliverLetters(deed, sender, delivery),
    startClock: () => {
      const { roundCron, deliveryCron } = settings;
      clockwork = startClockwork(deed, sender, { roundCron, deliveryCron, delivery }, server.log);
      if (settings.bounceImapUrl !== null) {
        mailbox = watchBounceMailbox(deed, settings.bounceImapUrl, server.log);
      }
    },
    listen: () => server.listen({ host: settings.host, port: settings.port }),
    close: async () => {
      // The clock waits for the letters in flight, and the sender breaks off those that take too long.
      await Promise.all([clockwork?.stop(), sender.close()]);
      await mailbox?.stop();
      await server.close();
      await store.close();
    },
  };
}
