import {
  chmodSync,
  chownSync,
  constants,
  existsSync,
  mkdirSync,
  mkdtempSync,
  renameSync,
  rmdirSync,
  rmSync,
  statSync,
} from 'node:fs';
import { copyFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import Database from 'better-sqlite3';
import type { Instant } from '../../domain/calendar/instant.ts';
import { Refused } from '../../domain/refusal.ts';
import type { DatabaseContents } from '../database/database-file.ts';
import { rememberErased } from '../database/erased-file.ts';
import { isSqliteFile, mindingDamage, readDatabase } from '../database/database-file.ts';
import { holdFile } from '../files/file-lock.ts';
import { forgetRestored, MAY_HAVE_LEFT, noteRestored } from './restored-mark.ts';
import { PRIVATE, PRIVATE_FOLDER, sha256Of, syncToDisk } from '../files/whole-file.ts';

export interface RestoreRequest {
  readonly backup: string;
  readonly target: string;
  /** Put the backup in the place of records that are there, after a safety copy of them. */
  readonly replace: boolean;
  readonly dryRun: boolean;
  /** Stands in the name of the safety copy, so that two of them never meet. */
  readonly stamp: string;
  readonly at: Instant;
}

export interface Restored extends DatabaseContents {
  readonly sha256: string;
  /** Where the records that were there are now; null where there were none. */
  readonly safetyCopy: string | null;
  /** Letters whose time came before now: they may have left since the backup, and wait for a word. */
  readonly lettersHeld: number;
}

/**
 * Puts a backup in the place of a database file, under the lock of its users, in one rename: after a
 * crash at any moment the file is the old one or the new one. Everything is checked on a private copy
 * first, and that very copy becomes the database.
 */
export async function restoreSqlite(request: RestoreRequest): Promise<Restored> {
  const { backup, target, replace, dryRun } = request;
  if (resolve(backup) === resolve(target)) throw refused(`${backup} is the database itself.`);
  if (!existsSync(backup) || !statSync(backup).isFile()) {
    throw refused(`There is no file ${backup}.`);
  }
  if (!isSqliteFile(backup)) throw refused(`${backup} is not a database of Foldkeep.`);
  if (!dryRun) mkdirSync(dirname(target), { recursive: true, mode: PRIVATE_FOLDER });
  const release = existsSync(dirname(target)) ? holdFile(target) : () => undefined;
  const staging = dryRun ? mkdtempSync(join(tmpdir(), 'foldkeep-restore-')) : null;
  const staged = staging === null ? `${target}.restoring-${process.pid}` : join(staging, 'copy');
  try {
    const held = await whatIsHeld(target);
    if (held !== null && !replace) {
      throw refused(
        `${target} holds ${held.words}. Nothing was restored. Add --replace to keep a safety copy of it and put the backup in its place.`,
      );
    }
    await stage(backup, staged);
    const contents = await readDatabase(staged).catch((fault: unknown) => {
      // The person knows the file by the name it was given, not by that of the private copy.
      if (fault instanceof Refused) throw refused(fault.message.replaceAll(staged, backup));
      throw fault;
    });
    const restored = { ...contents, sha256: await sha256Of(backup) };
    const safetyCopy = held === null ? null : `${target}.before-restore-${request.stamp}`;
    const lettersHeld = holdLetters(staged, request.at);
    if (dryRun) return { ...restored, safetyCopy, lettersHeld };
    if (held !== null && safetyCopy !== null) await copyAway(target, safetyCopy, held.sound);
    if (held?.sound === true) rememberErased(target);
    // Before it: a start that knows nothing of the restore would write to everybody anew.
    noteRestored(target, request.at);
    try {
      takePlace(staged, target);
    } catch (fault) {
      forgetRestored(target);
      throw fault;
    }
    return { ...restored, safetyCopy, lettersHeld };
  } finally {
    removeWithCompanions(staged);
    if (staging !== null) rmdirSync(staging);
    release();
  }
}

interface Held {
  readonly words: string;
  /** Whether it was read from end to end and can be opened without harm. */
  readonly sound: boolean;
}

/** What a restore would do away with; null where that is nothing. */
async function whatIsHeld(target: string): Promise<Held | null> {
  if (!existsSync(target) || statSync(target).size === 0) return null;
  try {
    const { organisation, owner, car } = (await readDatabase(target)).counts;
    if (organisation + owner + car === 0) return null;
    const words = `records (organisations: ${organisation}, owners: ${owner}, cars: ${car})`;
    return { words, sound: true };
  } catch {
    // Whatever it is, it may be all that somebody has.
    return { words: 'something that this program cannot read', sound: false };
  }
}

/** A private copy in one file: what a log beside the backup holds is worked into it. */
async function stage(backup: string, staged: string): Promise<void> {
  removeWithCompanions(staged);
  for (const companion of ['', ...LOGS]) {
    if (existsSync(backup + companion)) await copyFile(backup + companion, staged + companion);
  }
  chmodSync(staged, PRIVATE);
  await mindingDamage(backup, async () => settle(staged));
}

/** Works the log beside a file into it and removes it. */
function settle(file: string): void {
  const handle = new Database(file, { fileMustExist: true });
  try {
    handle.pragma('journal_mode = DELETE');
  } finally {
    handle.close();
  }
}

/**
 * Letters that were to leave before now may have left after the backup was made. They are not sent
 * again by themselves; the day's page names them, with one press to send each.
 */
function holdLetters(file: string, at: Instant): number {
  const handle = new Database(file, { fileMustExist: true });
  try {
    const held = handle.prepare(
      `UPDATE "letter" SET "state" = 'unknown', "startedAt" = COALESCE("startedAt", ?), "nextTryAt" = NULL, "leaseToken" = NULL, "leaseUntil" = NULL, "fault" = ? WHERE "state" IN ('planned', 'sending', 'unknown') AND "nextTryAt" <= ?`,
    );
    return held.run(at, MAY_HAVE_LEFT, at).changes;
  } finally {
    handle.close();
  }
}

/**
 * A sound database is kept in one file. One that cannot be read is kept byte for byte with its log
 * beside it: SQLite, asked to open it, may throw the log away.
 */
async function copyAway(target: string, safetyCopy: string, sound: boolean): Promise<void> {
  if (sound) settle(target);
  for (const companion of ['', ...LOGS]) {
    if (!existsSync(target + companion)) continue;
    await copyFile(target + companion, safetyCopy + companion, constants.COPYFILE_EXCL);
    chmodSync(safetyCopy + companion, PRIVATE);
    syncToDisk(safetyCopy + companion);
  }
  syncToDisk(dirname(safetyCopy));
}

function takePlace(staged: string, target: string): void {
  if (existsSync(target)) keepAccess(staged, target);
  syncToDisk(staged);
  // Before the rename: a log of the old file must never be applied to the new one.
  for (const companion of COMPANIONS) rmSync(target + companion, { force: true });
  renameSync(staged, target);
  syncToDisk(dirname(target));
}

/** The server must be able to use the new file as it could the old one. */
function keepAccess(staged: string, target: string): void {
  const { mode, uid, gid } = statSync(target);
  chmodSync(staged, mode & 0o777);
  if (process.getuid?.() === 0) chownSync(staged, uid, gid);
}

const LOGS = ['-wal', '-journal'];
const COMPANIONS = [...LOGS, '-shm'];

function removeWithCompanions(file: string): void {
  for (const companion of ['', ...COMPANIONS]) rmSync(file + companion, { force: true });
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
