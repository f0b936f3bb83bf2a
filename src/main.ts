#!/usr/bin/env node
import { buildApp, openContext } from './app.ts';
import { makeInOwnProcess } from './cron/backups.ts';
import type { Command } from 'commander';
import type { OpenServer } from './cli/door.ts';
import { OWN_VOICE } from './cli/voice.ts';
import { readSettings, SettingsRefused } from './config.ts';
import { Refused } from './domain/refusal.ts';
import { MailRefused } from './mail/sender-for.ts';
import { FileInUse } from './store/files/file-lock.ts';
import { commandSocketOf } from './store/database/open-store.ts';
import type { Context } from './usecases/context/context.ts';
import { DatabaseUnusable } from './store/database/unusable.ts';
import { MigrationRefused } from './store/database/migrate.ts';

async function serve(): Promise<void> {
  const program = process.argv[1] ?? '';
  const app = await buildApp(readSettings(process.env), {
    makeBackup: () => makeInOwnProcess(program),
    commands: { build: programOver, wordsOf },
  });
  let address: string;
  try {
    address = await app.listen();
    app.startClock();
  } catch (fault) {
    await app.close();
    throw fault;
  }
  process.stdout.write(
    `Foldkeep is at ${address} - the API is described at ${address}/reference\n`,
  );
  const first = await app.firstLink();
  if (first !== null) {
    process.stdout.write(
      `Nobody is here yet. The first to sign in, and to name the server, opens this within 24 hours:\n${first}\n`,
    );
  }
  await new Promise<void>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve());
  });
  await app.close();
}

async function openServer(): Promise<OpenServer> {
  // The guide is for reading: a line of log for every request would push it off the screen.
  const settings = readSettings({ LOG_LEVEL: 'warn', ...process.env });
  const { databaseUrl } = settings;
  const mailTray = settings.smtpUrl === null ? settings.mailTray : null;
  const app = await buildApp(settings, { commands: { build: programOver, wordsOf } });
  return { ...app, databaseUrl, mailTray };
}

/** Faults that a person can mend get their words alone; anything else shows where it came from. */
function wordsOf(fault: unknown): string {
  if (fault instanceof Refused && fault.refusal.kind === 'invalid') {
    return fault.refusal.faults.map(({ pointer, detail }) => `${pointer}: ${detail}`).join('\n');
  }
  const plain = [
    Refused,
    SettingsRefused,
    MailRefused,
    FileInUse,
    MigrationRefused,
    DatabaseUnusable,
  ];
  if (fault instanceof Error && plain.some((kind) => fault instanceof kind)) return fault.message;
  const listening = fault instanceof Error ? listenFault(fault) : null;
  if (listening !== null) return listening;
  return fault instanceof Error ? (fault.stack ?? fault.message) : String(fault);
}

/** Why the server could not listen, and what to do; null for any other fault. */
function listenFault(fault: NodeJS.ErrnoException): string | null {
  if (fault.syscall !== 'listen') return null;
  if (fault.code === 'EADDRINUSE')
    return 'Another program listens there already. Stop it, or take another port: PORT=8621';
  if (fault.code === 'EACCES') return 'This user may not listen there. Take a PORT above 1023.';
  if (fault.code === 'EADDRNOTAVAIL') return 'HOST is no address of this machine.';
  return `The server cannot listen: ${fault.message}`;
}

/** The command line, over records that are open already or that the commands open themselves. */
async function programOver(context?: Context): Promise<Command> {
  const { buildProgram } = await import('./cli/program.ts');
  return buildProgram({
    openContext: async () => context ?? openContext(readSettings(process.env)),
    serve,
    openServer,
    mailSetup: () => readSettings(process.env),
    databaseUrl: () => readSettings(process.env).databaseUrl,
    backupPlan: () => {
      const { databaseUrl, backupFolder, backupFigures } = readSettings(process.env);
      return { databaseUrl, folder: backupFolder, figures: backupFigures };
    },
    now: () => new Date().toISOString(),
  });
}

/** Does a command, or has it done by the server that holds the records. */
async function runCommand(): Promise<void> {
  const program = await programOver();
  try {
    await program.parseAsync(process.argv);
  } catch (fault) {
    const socket = commandSocketOf(readSettings(process.env).databaseUrl);
    if (!(fault instanceof FileInUse) || socket === null) throw fault;
    const { askServer } = await import('./cli/ask-server.ts');
    const code = await askServer(socket, process.argv.slice(2), OWN_VOICE);
    if (code === null) throw fault;
    process.exitCode = code;
  }
}

async function run(): Promise<void> {
  // Whatever is written holds names and addresses: for the eyes of this user alone.
  process.umask(0o077);
  try {
    // `npm start` gives no command: serving is what the program is for. It needs no other command.
    const [command = 'serve', ...more] = process.argv.slice(2);
    if (command === 'serve' && more.length === 0) await serve();
    else await runCommand();
  } catch (fault) {
    process.stderr.write(`${wordsOf(fault)}\n`);
    process.exitCode = 1;
  }
}

void run();
