import { CLUB_LETTER_PARAGRAPH, paragraphsOf } from '../../domain/letters/club-letter.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import type { ClubLetterRow } from '../../store/club/club-letter-rows.ts';
import {
  changeClubLetterRow,
  clubLetterNamed,
  clubLettersOf,
  copiesOf,
  insertClubLetter,
} from '../../store/club/club-letter-rows.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { requireHeld, requireVersion } from '../context/version.ts';

/** A letter of the club as it was typed. */
export interface ClubLetterRecord {
  readonly id: string;
  readonly subject: string;
  readonly text: string;
  readonly createdAt: Instant;
  readonly sentAt: Instant | null;
  readonly withdrawnAt: Instant | null;
  readonly version: number;
}

export interface ClubLetterInput {
  readonly subject: string;
  readonly text: string;
}

/** The letters of the club, drafts and sent, the newest first. */
export async function listClubLetters(
  { store }: Context,
  caller: Caller,
): Promise<ClubLetterRecord[]> {
  requireRight(caller, 'keep-owners');
  return clubLettersOf(store.sql, caller.organisationId);
}

/** One letter of the caller's club. */
export async function ownClubLetter(sql: Sql, caller: Caller, id: string): Promise<ClubLetterRow> {
  requireRight(caller, 'keep-owners');
  const row = await clubLetterNamed(sql, caller.organisationId, id);
  if (row === null) throw notFound('letter of the club');
  return row;
}

/** Keeps a draft; nobody is written to. Gives its id. */
export async function draftClubLetter(
  context: Context,
  caller: Caller,
  input: ClubLetterInput,
): Promise<string> {
  requireRight(caller, 'keep-owners');
  refuseText(input);
  const id = newId();
  await context.store.writeSql((sql) =>
    insertClubLetter(sql, {
      id,
      organisationId: caller.organisationId,
      ...input,
      createdAt: context.now(),
      sentAt: null,
      withdrawnAt: null,
      version: 1,
    }),
  );
  return id;
}

/** Puts a draft in other words. What was sent stays as it was sent. */
export async function changeClubLetter(
  context: Context,
  caller: Caller,
  id: string,
  input: ClubLetterInput,
  version: number | null,
): Promise<void> {
  refuseText(input);
  await context.store.writeSql(async (sql) => {
    const row = await ownClubLetter(sql, caller, id);
    requireVersion(version, row.version);
    if (row.sentAt !== null) {
      throw new Refused({
        kind: 'conflict',
        detail: 'This letter was sent and stays as it is. Write another one.',
      });
    }
    requireHeld(await changeClubLetterRow(sql, row, { ...row, ...input }));
  });
}

/**
 * Withdraws a letter: a draft is dropped; of one that was sent the copies that have not left are
 * cancelled, and nobody who agrees later gets it. What has left cannot be called back.
 */
export async function withdrawClubLetter(
  context: Context,
  caller: Caller,
  id: string,
  version: number | null,
): Promise<void> {
  const at = context.now();
  await context.store.writeSql(async (sql) => {
    const row = await ownClubLetter(sql, caller, id);
    requireVersion(version, row.version);
    if (row.withdrawnAt !== null) return;
    requireHeld(await changeClubLetterRow(sql, row, { ...row, withdrawnAt: at }));
    const copies = await copiesOf(sql, caller.organisationId, id);
    const waiting = copies.filter(({ state }) => state === 'planned' || state === 'sending');
    const ids = waiting.map(({ letterId }) => letterId);
    await cancelLetters(sql, ids, 'the club withdrew it', at);
  });
}

function refuseText({ text }: ClubLetterInput): void {
  const paragraphs = paragraphsOf(text);
  if (paragraphs.length === 0) throw invalid('#/text', 'Write what the members shall read.');
  if (paragraphs.some(({ length }) => length > CLUB_LETTER_PARAGRAPH)) {
    throw invalid(
      '#/text',
      `Part it by blank lines: a paragraph has ${CLUB_LETTER_PARAGRAPH} characters at the most.`,
    );
  }
}
