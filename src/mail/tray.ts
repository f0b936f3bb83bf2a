import { createHash, randomUUID } from 'node:crypto';
import { link, mkdir, readdir, readFile, unlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { createTransport } from 'nodemailer';
import { z } from 'zod';
import { toMailOptions } from './outgoing.ts';
import type { OutgoingLetter } from './outgoing.ts';
import { BROKEN_OFF, unbuildable } from './send-outcome.ts';
import type { BeforeEnd, Sender, SendOutcome } from './send-outcome.ts';

/** A letter as the tray's page lists it. `name` is what `readTrayLetter` takes. */
export interface TrayEntry {
  readonly name: string;
  readonly messageId: string;
  readonly to: string;
  readonly subject: string;
  /** Instant of writing. */
  readonly date: string;
}

/** A letter of the tray with its two readable parts. */
export interface TrayLetter extends TrayEntry {
  readonly text: string;
  readonly html: string;
}

const NAME = /^[A-Za-z0-9_-][A-Za-z0-9._-]{0,150}$/;

/** File name (without ending) for a Message-ID: readable, safe on every file system, unique. */
export function trayName(messageId: string): string {
  const bare = messageId.replace(/^<|>$/g, '');
  const readable = bare
    .replace(/[^A-Za-z0-9.-]+/g, '_')
    .replace(/^[.-]+/, '_')
    .slice(0, 80);
  // Two identifiers may look alike once made safe, or differ in case alone: the digest tells them.
  return `${readable}-${createHash('sha256').update(bare).digest('hex').slice(0, 12)}`;
}

/** Writes a file that appears whole or not at all, and never over one that is there. */
async function writeOnce(
  folder: string,
  name: string,
  content: Buffer | Readable | string,
): Promise<void> {
  const draft = join(folder, `.draft-${randomUUID()}`);
  await writeFile(draft, content, { flag: 'wx', mode: 0o600 });
  try {
    await link(draft, join(folder, name));
  } catch (fault) {
    if (codeOf(fault) !== 'EEXIST') throw fault;
  } finally {
    await unlink(draft);
  }
}

/** What the tray answers to every letter that it takes. */
export const KEPT_IN_TRAY = 'kept in the mail tray';

/** Whether an answer to a letter that counts as sent is the tray's: it lies there, and reached nobody. */
export function liesInTray(response: string | null): boolean {
  return response?.startsWith(KEPT_IN_TRAY) ?? false;
}

function codeOf(fault: unknown): string {
  return fault instanceof Error && 'code' in fault ? String(fault.code) : '';
}

/**
 * A sender for organisations without a mail server: each letter becomes an `.eml` file, byte for byte as
 * it would have been sent, and a JSON file to show it from. Sending the same Message-ID again
 * changes nothing. The folder is made when it is missing.
 */
export function traySender(folder: string): Sender {
  const transport = createTransport({ streamTransport: true, buffer: true, newline: 'windows' });
  async function keep(letter: OutgoingLetter, beforeEnd?: BeforeEnd): Promise<SendOutcome> {
    let message: Buffer | Readable;
    try {
      ({ message } = await transport.sendMail(toMailOptions(letter)));
    } catch (fault) {
      return unbuildable(fault);
    }
    if (beforeEnd !== undefined && !(await beforeEnd())) return BROKEN_OFF;
    const name = trayName(letter.messageId);
    try {
      await mkdir(folder, { recursive: true, mode: 0o700 });
      await writeOnce(folder, `${name}.eml`, message);
      await writeOnce(folder, `${name}.json`, `${JSON.stringify(shown(letter), null, 1)}\n`);
    } catch (fault) {
      const detail = `the mail tray cannot be written (${codeOf(fault)})`;
      const passing = ['ENOSPC', 'EDQUOT', 'EMFILE', 'ENFILE', 'EIO'].includes(codeOf(fault));
      return passing ? { kind: 'retry', detail } : { kind: 'configuration', detail };
    }
    return { kind: 'sent', response: `${KEPT_IN_TRAY} as ${name}.eml` };
  }
  return { send: keep, close: async () => transport.close() };
}

function shown(letter: OutgoingLetter): Omit<TrayLetter, 'name'> {
  const { messageId, subject, date, text, html } = letter;
  return { messageId, to: letter.to.address, subject, date, text, html };
}

/** The letters in the tray, oldest first. A missing folder is an empty tray. */
export async function readTray(folder: string): Promise<TrayEntry[]> {
  let files: string[];
  try {
    files = await readdir(folder);
  } catch (fault) {
    if (codeOf(fault) === 'ENOENT') return [];
    throw fault;
  }
  const entries: TrayEntry[] = [];
  for (const file of files) {
    if (!file.endsWith('.json')) continue;
    const letter = await readTrayLetter(folder, file.slice(0, -'.json'.length));
    if (!letter) continue;
    const { name, messageId, to, subject, date } = letter;
    entries.push({ name, messageId, to, subject, date });
  }
  return entries.sort((a, b) => compare(a.date, b.date) || compare(a.name, b.name));
}

function compare(a: string, b: string): number {
  return a < b ? -1 : Number(a > b);
}

/** One letter of the tray, or null where there is none. Names that lead out of it find nothing. */
export async function readTrayLetter(folder: string, name: string): Promise<TrayLetter | null> {
  const source = await readNamed(folder, name, '.json');
  if (!source) return null;
  const letter = letterOf(source.toString('utf8'));
  return letter && { name, ...letter };
}

/** The whole message (`.eml`) of a letter of the tray, or null where there is none. */
export function readTraySource(folder: string, name: string): Promise<Buffer | null> {
  return readNamed(folder, name, '.eml');
}

async function readNamed(folder: string, name: string, ending: string): Promise<Buffer | null> {
  if (!NAME.test(name)) return null;
  try {
    return await readFile(join(folder, name + ending));
  } catch (fault) {
    if (codeOf(fault) === 'ENOENT' || codeOf(fault) === 'EISDIR') return null;
    throw fault;
  }
}

const Shown = z.object({
  messageId: z.string(),
  to: z.string(),
  subject: z.string(),
  date: z.string(),
  text: z.string(),
  html: z.string(),
});

/** Foreign or damaged files in the folder are not letters, and no reason to show none at all. */
function letterOf(json: string): z.infer<typeof Shown> | null {
  try {
    return Shown.safeParse(JSON.parse(json)).data ?? null;
  } catch {
    return null;
  }
}
