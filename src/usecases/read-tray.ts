import { marks, type Sql } from '../store/sql.ts';
import type { TrayEntry, TrayLetter } from '../mail/tray.ts';
import { readTray, readTrayLetter, readTraySource } from '../mail/tray.ts';
import type { Deed } from './deed.ts';

/** Who looks into the tray: whoever sits at the machine sees all, an organisation its own letters. */
export type TrayReader = 'this-machine' | { readonly organisationId: string };

export type TrayRecord = TrayEntry;
export type TrayLetterRecord = TrayLetter;

const LETTERS_SHOWN = 200;
const ASKED_AT_ONCE = 500;

/** The letters in the mail tray, the newest first, 200 at most. */
export async function listTray(
  deed: Deed,
  folder: string,
  reader: TrayReader,
): Promise<TrayRecord[]> {
  const entries = (await readTray(folder)).toReversed();
  const own = await readableBy(deed.store.sql, reader, entries);
  return entries.filter(({ messageId }) => own(messageId)).slice(0, LETTERS_SHOWN);
}

/** One letter of the tray; null where there is none, or none for this reader. */
export async function showTrayLetter(
  deed: Deed,
  folder: string,
  reader: TrayReader,
  name: string,
): Promise<TrayLetterRecord | null> {
  const letter = await readTrayLetter(folder, name);
  if (letter === null) return null;
  const own = await readableBy(deed.store.sql, reader, [letter]);
  return own(letter.messageId) ? letter : null;
}

/** The whole message of a letter, byte for byte as it would have been sent. */
export async function trayMessage(
  deed: Deed,
  folder: string,
  reader: TrayReader,
  name: string,
): Promise<Buffer | null> {
  const letter = await showTrayLetter(deed, folder, reader, name);
  return letter === null ? null : readTraySource(folder, name);
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
    const rows = await sql.all<{ messageId: string }>(
      `SELECT "messageId" FROM "letter" WHERE "organisationId" = ? AND "messageId" IN (${marks(ids.length)})`,
      [reader.organisationId, ...ids],
    );
    for (const { messageId } of rows) own.add(messageId);
  }
  return (messageId) => own.has(messageId);
}
