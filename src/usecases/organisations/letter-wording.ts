import type { Instant } from '../../domain/calendar/instant.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { LETTER_KINDS } from '../../domain/round/letter-kind.ts';
import { notFound, Refused } from '../../domain/refusal.ts';
import type { WordingRow } from '../../store/letters/wording-rows.ts';
import { removeWordingRow, storeWording, wordingRows } from '../../store/letters/wording-rows.ts';
import type { SlotRule } from '../../views/letters/slots.ts';
import { slotsOf, validateOverride } from '../../views/letters/slots.ts';
import { wordsByLanguage } from '../../views/words/words.ts';
import type { Caller, Context } from '../context/context.ts';
import type { LetterPreview } from './preview-letters.ts';
import { letterLanguages, previewOwnLetter, requireLanguage } from './preview-letters.ts';

/** Which passage of which letter. */
export interface Passage {
  readonly kind: LetterKind;
  readonly language: string;
  readonly slot: string;
}

/** One passage that an organisation may put in its own words. */
export interface WordingRecord extends Passage {
  /** The organisation's own words; null where ours stand. */
  readonly text: string | null;
  /** Our words, for one car where their form depends on the number. */
  readonly standard: string;
  /** Names that may stand between double braces, as in `{{owner}}`. */
  readonly places: string[];
  readonly maxLength: number;
  readonly lines: SlotRule['lines'];
  readonly changedAt: Instant | null;
}

export interface SavedWording extends WordingRecord {
  readonly preview: LetterPreview;
}

/** Every passage of every kind and language, or of those asked for, with own words where given. */
export async function listWording(
  context: Context,
  { organisationId }: Caller,
  only: { readonly kind?: LetterKind | undefined; readonly language?: string | undefined },
): Promise<{ items: WordingRecord[] }> {
  if (only.language !== undefined) requireLanguage(only.language);
  const rows = await wordingRows(context.store.sql, organisationId);
  const kinds = only.kind === undefined ? LETTER_KINDS : [only.kind];
  const languages = only.language === undefined ? letterLanguages() : [only.language];
  const items = kinds.flatMap((kind) =>
    languages.flatMap((language) =>
      slotsOf(kind).map((rule) => recordOf({ kind, language, slot: rule.slot }, rule, rows)),
    ),
  );
  return { items };
}

/**
 * Puts a passage in the organisation's own words, once nothing is wrong with them, and shows the
 * letter with them. Letters that wait to be sent keep the words that they were written with.
 */
export async function saveWording(
  context: Context,
  caller: Caller,
  passage: Passage,
  text: string,
): Promise<SavedWording> {
  const rule = ruleOf(passage);
  const plain = text.replaceAll(/\r\n?/g, '\n');
  const problems = validateOverride(passage.kind, passage.slot, plain);
  if (problems.length > 0) {
    const faults = problems.map((problem) => ({ pointer: '#/text', detail: `${problem}.` }));
    throw new Refused({ kind: 'invalid', faults });
  }
  const { organisationId } = caller;
  const row = { organisationId, ...passage, text: plain, changedAt: context.now() };
  await context.store.writeSql((sql) => storeWording(sql, row));
  const preview = await previewOwnLetter(context, caller, passage.kind, passage.language);
  return { ...recordOf(passage, rule, [row]), preview };
}

/** Gives a passage our words back. */
export async function removeWording(
  context: Context,
  caller: Caller,
  passage: Passage,
): Promise<void> {
  ruleOf(passage);
  const { organisationId } = caller;
  const gone = await context.store.writeSql((sql) =>
    removeWordingRow(sql, { organisationId, ...passage }),
  );
  if (!gone) throw notFound('wording');
}

function ruleOf({ kind, language, slot }: Passage): SlotRule {
  requireLanguage(language);
  const rule = slotsOf(kind).find((candidate) => candidate.slot === slot);
  if (rule === undefined) throw notFound('wording');
  return rule;
}

function recordOf(
  { kind, language, slot }: Passage,
  { places, maxLength, lines }: SlotRule,
  rows: readonly WordingRow[],
): WordingRecord {
  const own = rows.find(
    (row) => row.kind === kind && row.language === language && row.slot === slot,
  );
  return {
    kind,
    language,
    slot,
    text: own?.text ?? null,
    standard: standardOf(kind, language, slot),
    places: [...places],
    maxLength,
    lines,
    changedAt: own?.changedAt ?? null,
  };
}

function standardOf(kind: LetterKind, language: string, slot: string): string {
  const phrase = wordsByLanguage().get(language)?.[slot === 'closing' ? slot : `${kind}.${slot}`];
  if (phrase === undefined || typeof phrase === 'string') return phrase ?? '';
  return phrase.one ?? phrase.other ?? '';
}
