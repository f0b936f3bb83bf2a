import type { LetterKind } from '../domain/round/letter-kind.ts';
import type { Sql } from '../store/sql.ts';
import type { WordingRow } from '../store/wording-rows.ts';
import { wordingRows } from '../store/wording-rows.ts';
import { isLetterKind } from '../views/letters/models.ts';
import type { Overrides } from '../views/letters/slots.ts';
import { validateOverride } from '../views/letters/slots.ts';
import { voiceOf, wordsByLanguage } from '../views/letters/words.ts';

/** An organisation's own wording for a kind of letter in the language that a reader is written to. */
export type OwnWords = (
  organisationId: string,
  readersLanguage: string,
  kind: LetterKind,
) => Overrides;

const NONE: Overrides = {};
export const NO_OWN_WORDS: OwnWords = () => NONE;

/**
 * The own wordings of an organisation, or of all where it is null, in one query. A wording that an
 * older version took and this one would refuse is left out: the letter goes out in our words rather
 * than not at all.
 */
export async function loadOwnWords(sql: Sql, organisationId: string | null): Promise<OwnWords> {
  return ownWordsOf(await wordingRows(sql, organisationId));
}

export function ownWordsOf(rows: readonly WordingRow[]): OwnWords {
  if (rows.length === 0) return NO_OWN_WORDS;
  const known = new Map<string, Record<string, string>>();
  for (const { organisationId, kind, language, slot, text } of rows) {
    if (!isLetterKind(kind) || validateOverride(kind, slot, text).length > 0) continue;
    const key = `${organisationId} ${language} ${kind}`;
    known.set(key, { ...known.get(key), [slot]: text });
  }
  return (organisationId, readersLanguage, kind) =>
    known.get(`${organisationId} ${wordsLanguage(readersLanguage)} ${kind}`) ?? NONE;
}

/** The language whose words a reader of this language gets: its own, or English. */
export function wordsLanguage(tag: string): string {
  const { language } = voiceOf(tag);
  return wordsByLanguage().has(language) ? language : (language.split('-')[0] ?? 'en');
}
