import type { Instant } from '../domain/calendar/instant.ts';
import type { MailSetup } from '../usecases/delivery/check-mail.ts';
import type { BackupPlan } from '../usecases/records/keep-backups.ts';
import type { Context } from '../usecases/context/context.ts';

/** What the door hands to the commands: how to open the records, and how to serve. */
export interface Door {
  openContext(): Promise<Context>;
  serve(): Promise<void>;
  openServer(): Promise<OpenServer>;
  /** The mail settings, to be tried and not used. */
  mailSetup(): MailSetup;
  /** DATABASE_URL, for the commands that handle the database as a whole. */
  databaseUrl(): string;
  /** Where the backups of the clock lie and how many stay. */
  backupPlan(): BackupPlan;
  now(): Instant;
}

/** The program wired and not serving yet, for a command that does things before it serves. */
export interface OpenServer {
  readonly context: Context;
  readonly databaseUrl: string;
  /** Folder of the mail tray, or null where letters leave by SMTP. */
  readonly mailTray: string | null;
  /** Lets every letter leave that may leave now. */
  deliver(): Promise<unknown>;
  /** Listens, and says where. */
  listen(): Promise<string>;
  startClock(): void;
  close(): Promise<void>;
}

/** Runs a piece of work on the records and closes them whatever happens. */
export async function withContext(
  door: Door,
  work: (context: Context) => Promise<void>,
): Promise<void> {
  const context = await door.openContext();
  try {
    await work(context);
  } finally {
    await context.store.close();
  }
}
