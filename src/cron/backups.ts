import { execFile } from 'node:child_process';
import { promisify } from 'node:util';
import type { FastifyBaseLogger } from 'fastify';
import { atTicks } from './ticks.ts';

/** What makes the backups of the clock, and whether one was missed. */
export interface BackupClock {
  readonly cron: string;
  missed(): boolean;
  make(): Promise<void>;
}

/**
 * Makes backups by the clock, and one soon after the start where one was missed. Never two at once; one
 * that fails is logged, and the next is tried at its time.
 */
export function watchBackups(
  clock: BackupClock,
  log: FastifyBaseLogger,
  afterStartMs = AFTER_START_MS,
): { stop(): Promise<void> } {
  let making: Promise<void> | null = null;
  const make = async (): Promise<void> => {
    if (making !== null) return;
    making = clock.make().then(
      () => log.info('backup made'),
      (err: unknown) => log.error({ err }, 'no backup could be made'),
    );
    await making;
    making = null;
  };
  const task = atTicks(clock.cron, make);
  // The first round and the letters that wait come before it.
  const first = setTimeout(() => {
    if (clock.missed()) void make();
  }, afterStartMs);
  first.unref();
  return {
    async stop() {
      clearTimeout(first);
      await task.stop();
      await making;
    },
  };
}

const AFTER_START_MS = 30_000;

/**
 * Makes a backup in a process of its own: copying and reading back a large file would hold up whoever
 * asks the server meanwhile. It ends by itself, whatever becomes of the server.
 */
export async function makeInOwnProcess(program: string): Promise<void> {
  const run = promisify(execFile);
  await run(process.execPath, [...process.execArgv, program, 'backups', 'make']);
}
