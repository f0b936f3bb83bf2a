import type { LetterKind } from '../../domain/round/letter-kind.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { WordingRow } from '../../store/letters/wording-rows.ts';
import { logoRows, wordingRows } from '../../store/letters/wording-rows.ts';
import { isLetterKind } from '../../views/letters/models.ts';
import type { Overrides } from '../../views/letters/slots.ts';
import { validateOverride } from '../../views/letters/slots.ts';
import { voiceOf, wordsByLanguage } from '../../views/words/words.ts';

/** What organisations have made their own about their letters. */
export interface OwnStyle {
  /** The wording of a kind of letter in the language that a reader is written to. */
  readonly words: (organisationId: string, readersLanguage: string, kind: LetterKind) => Overrides;
  /** The picture at the head of its letters, as a data address. */
  readonly logo: (organisationId: string) => string | null;
}

const NONE: Overrides = {};
export const NO_OWN_STYLE: OwnStyle = { words: () => NONE, logo: () => null };

/**
 * The own style of an organisation, or of all where it is null, in two queries. A wording that an
 * older version took and this one would refuse is left out: the letter goes out in our words rather
 * than not at all.
 */
export async function loadOwnStyle(sql: Sql, organisationId: string | null): Promise<OwnStyle> {
  const logos = await logoRows(sql, organisationId);
  const byId = new Map(logos.map(({ id, logo }) => [id, logo]));
  return {
    words: ownWordsOf(await wordingRows(sql, organisationId)),
    logo: (id) => byId.get(id) ?? null,
  };
}

function ownWordsOf(rows: readonly WordingRow[]): OwnStyle['words'] {
  const known = new Map<string, Record<string, string>>();
  for (const { organisationId, kind, language, slot, text } of rows) {
    if (!isLetterKind(kind) || validateOverride(kind, slot, text).length > 0) continue;
    const key = `${organisationId} ${language} ${kind}`;
    known.set(key, { ...known.get(key), [slot]: text });
  }
  if (known.size === 0) return NO_OWN_STYLE.words;
  return (organisationId, readersLanguage, kind) =>
    known.get(`${organisationId} ${wordsLanguage(readersLanguage)} ${kind}`) ?? NONE;
}

/** The language whose words a reader of this language gets: its own, or English. */
export function wordsLanguage(tag: string): string {
  const { language } = voiceOf(tag);
  return wordsByLanguage().has(language) ? language : (language.split('-')[0] ?? 'en');
}
