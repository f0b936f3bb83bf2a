import type { Sql } from '../../store/database/sql.ts';
import { ownMessageIds } from '../../store/letters/letter-lists.ts';
import type { TrayEntry, TrayLetter } from '../../mail/tray.ts';
import { readTray, readTrayLetter, readTraySource } from '../../mail/tray.ts';
import type { Caller, Context } from '../context/context.ts';
import { mayReadLinks } from '../context/context.ts';
import { withoutTokens } from '../context/links.ts';

/** Who looks into the tray: whoever sits at the machine sees all, an organisation its own letters. */
export type TrayReader = 'this-machine' | Caller;

export type TrayRecord = TrayEntry;

export interface TrayLetterRecord extends TrayLetter {
  /** Whether the links in it are whole; they act for the owner alone. */
  readonly whole: boolean;
}

const LETTERS_SHOWN = 200;
const ASKED_AT_ONCE = 500;

/** The letters in the mail tray, the newest first, 200 at most. */
export async function listTray(
  context: Context,
  folder: string,
  reader: TrayReader,
): Promise<TrayRecord[]> {
  const entries = (await readTray(folder)).toReversed();
  const own = await readableBy(context.store.sql, reader, entries);
  return entries.filter(({ messageId }) => own(messageId)).slice(0, LETTERS_SHOWN);
}

/** One letter of the tray; null where there is none, or none for this reader. */
export async function showTrayLetter(
  context: Context,
  folder: string,
  reader: TrayReader,
  name: string,
): Promise<TrayLetterRecord | null> {
  const letter = await readTrayLetter(folder, name);
  if (letter === null) return null;
  const own = await readableBy(context.store.sql, reader, [letter]);
  if (!own(letter.messageId)) return null;
  if (readsWhole(reader)) return { ...letter, whole: true };
  const { text, html } = letter;
  return { ...letter, text: withoutTokens(text), html: withoutTokens(html), whole: false };
}

function readsWhole(reader: TrayReader): boolean {
  return reader === 'this-machine' || mayReadLinks(reader);
}

/** The whole message of a letter, byte for byte as it would have been sent; null where it has links that the reader may not see. */
export async function trayMessage(
  context: Context,
  folder: string,
  reader: TrayReader,
  name: string,
): Promise<Buffer | null> {
  const letter = await showTrayLetter(context, folder, reader, name);
  return letter?.whole === true ? readTraySource(folder, name) : null;
}

async function readableBy(
  sql: Sql,
  reader: TrayReader,
  entries: readonly Pick<TrayEntry, 'messageId'>[],
): Promise<(messageId: string) => boolean> {
  if (reader === 'this-machine') return () => true;
  const own = new Set<string>();
  for (let start = 0; start < entries.length; start += ASKED_AT_ONCE) {
    const ids = entries.slice(start, start + ASKED_AT_ONCE).map(({ messageId }) => messageId);
    for (const id of await ownMessageIds(sql, reader.organisationId, ids)) own.add(id);
  }
  return (messageId) => own.has(messageId);
}
