import { randomUUID } from 'node:crypto';
import type { Command } from 'commander';
import type { FastifyInstance, FastifyServerOptions } from 'fastify';
import { type CommandLine, takeCommands } from './cli/take-commands.ts';
import type { BackupClock } from './cron/backups.ts';
import { watchBackups } from './cron/backups.ts';
import { watchBounceMailbox } from './cron/bounce-mailbox.ts';
import { startClockwork } from './cron/clockwork.ts';
import { readGauges, readMetrics } from './http/metrics.ts';
import type { Doorway } from './http/gate/doorway.ts';
import type { Patience } from './http/gate/patience.ts';
import { drain, PATIENCE } from './http/gate/patience.ts';
import { buildServer } from './http/server.ts';
import { senderFor } from './mail/sender-for.ts';
import type { Sender } from './mail/sender.ts';
import { commandSocketOf, openStore } from './store/database/open-store.ts';
import type { Store } from './store/database/store.ts';
import type { Context } from './usecases/context/context.ts';
import type { DeliveryOptions } from './usecases/delivery/deliver-letters.ts';
import { deliverLetters } from './usecases/delivery/deliver-letters.ts';
import { DeliveryLimits } from './usecases/delivery/delivery-limits.ts';
import { takeBackLetters } from './usecases/delivery/take-back-letters.ts';
import { forgetOldAnswers } from './usecases/once/idempotent-answers.ts';
import { eraseAgain, keepErasures } from './usecases/owners/erase-again.ts';
import { holdRestored } from './usecases/round/hold-restored.ts';
import { firstLink, type Post } from './usecases/people/invite.ts';
import type { Trial } from './usecases/settings/start-guide.ts';
import { backupMissed, listBackups } from './usecases/records/keep-backups.ts';
import { checkClock, checkDatabase } from './usecases/organisations/readiness.ts';
import type { Settings } from './config.ts';
import type { Telemetry } from './telemetry.ts';

/** The program with all its parts wired, before it listens. */
export interface App {
  readonly context: Context;
  readonly store: Store;
  readonly sender: Sender;
  readonly server: FastifyInstance;
  /** Lets every letter leave that may leave now. */
  deliver(): Promise<unknown>;
  /** Starts the round, the delivery and the look for returned letters by the clock. */
  startClock(): void;
  /** Listens, and says where. */
  listen(): Promise<string>;
  /** The link by which the first of all comes in; null where somebody is here. */
  firstLink(): Promise<string | null>;
  /** Stops taking work, finishes what is in flight and closes everything. */
  close(): Promise<void>;
}

export interface Injected {
  readonly now?: () => string;
  readonly logger?: FastifyServerOptions['logger'];
  readonly patience?: Patience;
  /** Makes a backup of the clock; without it the clock makes none. */
  readonly makeBackup?: () => Promise<void>;
  /** The commands of this machine that it takes over while it holds a SQLite file; without it none. */
  readonly commands?: {
    build(context: Context): Promise<Command>;
    wordsOf(fault: unknown): string;
  };
}

/** The deeds alone, for commands that need no server. */
export async function openContext(settings: Settings, injected: Injected = {}): Promise<Context> {
  const store = await openStore(settings.databaseUrl);
  return contextOf(settings, store, injected);
}

function contextOf(settings: Settings, store: Store, injected: Injected): Context {
  return {
    store,
    now: injected.now ?? (() => new Date().toISOString()),
    publicUrl: settings.publicUrl,
    mailDomain: settings.mailFrom.address.split('@')[1] ?? 'localhost',
  };
}

/** The way out for messages to people of the organisation: at once, outside the queue of letters. */
function postOf({ mailFrom }: Settings, sender: Sender): Post {
  return async (message, name) => {
    const from = { name, address: mailFrom.address };
    const { kind } = await sender.send({ ...message, from });
    return kind === 'sent';
  };
}

/** One letter as all letters go, with what happened in words that somebody can act on. */
function trialOf({ mailFrom, smtpUrl, mailTray }: Settings, sender: Sender): Trial {
  return async (letter, name) => {
    const came = await sender.send({ ...letter, from: { name, address: mailFrom.address } });
    if (came.kind !== 'sent') {
      const detail = 'detail' in came ? came.detail : '';
      return { sent: false, words: `It did not go out: ${detail}. Look into the mail settings.` };
    }
    const words =
      smtpUrl === null
        ? `No mail server is set yet: it lies in the mail tray (${mailTray}), where all letters wait.`
        : `The mail server took it over: ${came.response}. Look into the mailbox, among the unwanted too.`;
    return { sent: true, words };
  };
}

/** One set of limits for all runs of this process; the mail tray needs none. */
function deliveryOf(settings: Settings): DeliveryOptions {
  const { mailFrom, bounceAddress, smtpUrl, mailLimits, deliveryFigures: figures } = settings;
  return {
    holder: randomUUID(),
    mailFrom,
    figures,
    ...(bounceAddress === null ? {} : { bounceAddress }),
    ...(smtpUrl === null ? {} : { limits: new DeliveryLimits(mailLimits) }),
  };
}

/**
 * Wires the program; a start that fails closes again what it had opened. Only the clock and the sender
 * are handed in; all else follows from settings.
 */
export async function buildApp(settings: Settings, injected: Injected = {}): Promise<App> {
  const sender = await senderFor(settings);
  const context = await openContext(settings, injected).catch(async (fault: unknown) => {
    await sender.close();
    throw fault;
  });
  try {
    return await wire(settings, injected, sender, context);
  } catch (fault) {
    await Promise.allSettled([sender.close(), context.store.close()]);
    throw fault;
  }
}

/** Commands of this machine, where the records lie in a file that this process alone may open. */
async function commandLineOf(
  { databaseUrl }: Settings,
  context: Context,
  { commands }: Injected,
  { log }: FastifyInstance,
): Promise<CommandLine | null> {
  const socket = commandSocketOf(databaseUrl);
  if (socket === null || commands === undefined) return null;
  const { store } = context;
  // What a command closes behind itself stays open for everybody else.
  const lent = Object.create(store, { close: { value: () => Promise.resolve() } }) as Store;
  const build = () => commands.build({ ...context, store: lent });
  const wordsOf = (fault: unknown) => commands.wordsOf(fault);
  return takeCommands(socket, build, wordsOf).catch((fault: unknown) => {
    log.warn({ err: fault }, 'commands of this machine cannot be taken over while it serves');
    return null;
  });
}

function backupClockOf(
  { backupCron, backupFolder, databaseUrl }: Settings,
  context: Context,
  { makeBackup }: Injected,
): BackupClock | null {
  if (backupCron === null || makeBackup === undefined) return null;
  const backups = () => listBackups({ databaseUrl, folder: backupFolder });
  return {
    cron: backupCron,
    missed: () => backupMissed(backups(), context.now()),
    make: makeBackup,
  };
}

async function wire(
  settings: Settings,
  injected: Injected,
  sender: Sender,
  context: Context,
): Promise<App> {
  const { store } = context;
  const delivery = deliveryOf(settings);
  const patience = injected.patience ?? PATIENCE;
  const { databaseUrl, erasedFile } = settings;
  await eraseAgain(context, databaseUrl, erasedFile);
  await holdRestored(context, databaseUrl);
  if (erasedFile !== null) await keepErasures(context, erasedFile);
  await forgetOldAnswers(context);
  await takeBackLetters(context);
  let clockwork: ReturnType<typeof startClockwork> | null = null;
  let mailbox: ReturnType<typeof watchBounceMailbox> | null = null;
  let backups: ReturnType<typeof watchBackups> | null = null;
  let commandLine: CommandLine | null = null;
  let telemetry: Telemetry | null = null;
  const doorway: Doorway = {
    mailTray: settings.smtpUrl === null ? settings.mailTray : null,
    ...(settings.smtpUrl === null ? {} : { post: postOf(settings, sender) }),
    trial: trialOf(settings, sender),
    databaseUrl: settings.databaseUrl,
    ready: async () => {
      const database = await checkDatabase(context);
      const clock = database === 'ok' ? await checkClock(context) : 'not asked';
      return { ready: database === 'ok', parts: { database, clock } };
    },
    metrics: () => readMetrics(context),
  };
  const server = await buildServer(
    context,
    doorway,
    injected.logger ?? { level: settings.logLevel },
    patience,
  );
  if (settings.telemetry !== null) {
    // Nobody else pays for it: neither at the start nor in memory.
    const { startTelemetry } = await import('./telemetry.ts');
    telemetry = startTelemetry(settings.telemetry, {
      gauges: () => readGauges(context),
      onFault: () => server.log.warn('the collector that OTEL_… names does not take what is sent'),
    });
  }
  return {
    context,
    store,
    sender,
    server,
    deliver: () => deliverLetters(context, sender, delivery),
    startClock: () => {
      const { roundCron, deliveryCron } = settings;
      clockwork = startClockwork(
        context,
        sender,
        { roundCron, deliveryCron, delivery, erasedFile },
        server.log,
      );
      if (settings.bounceImapUrl !== null) {
        mailbox = watchBounceMailbox(context, settings.bounceImapUrl, server.log);
      }
      const backupClock = backupClockOf(settings, context, injected);
      if (backupClock !== null) backups = watchBackups(backupClock, server.log);
    },
    firstLink: () => firstLink(context),
    listen: async () => {
      const address = await server.listen({ host: settings.host, port: settings.port });
      commandLine = await commandLineOf(settings, context, injected, server);
      return address;
    },
    close: async () => {
      // The clock waits for the letters in flight, and the sender breaks off those that take too long.
      await Promise.all([
        clockwork?.stop(),
        sender.close(),
        mailbox?.stop(),
        backups?.stop(),
        commandLine?.close(),
        drain(server, patience),
      ]);
      await telemetry?.stop();
      await store.close();
    },
  };
}
