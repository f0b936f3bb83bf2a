import { Refused } from '../../domain/refusal.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { storeWording, removeWordingRow } from '../../store/letters/wording-rows.ts';
import { slotsOf, validateOverride } from '../../views/letters/slots.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireLanguage } from './preview-letters.ts';

/** What an organisation wants said in one kind of letter, by passage; null gives our words back. */
export type WordingWish = Readonly<Record<string, string | null>>;

/** The passages that would be their own, once nothing is wrong with them; refused passage by passage. */
export function ownWordsOf(kind: LetterKind, wish: WordingWish): Record<string, string> {
  const own = Object.entries(wish).flatMap(([slot, text]) => (text === null ? [] : [[slot, text]]));
  const faults = own.flatMap(([slot = '', text = '']) =>
    validateOverride(kind, slot, text).map((problem) => ({
      pointer: `#/${slot}`,
      detail: `${problem}.`,
    })),
  );
  if (faults.length > 0) throw new Refused({ kind: 'invalid', faults });
  return Object.fromEntries(own);
}

/**
 * Keeps the wording of one kind of letter in one language whole, in one transaction. Letters that wait
 * keep the words that they were written with.
 */
export async function saveWordings(
  context: Context,
  { organisationId }: Caller,
  { kind, language }: { readonly kind: LetterKind; readonly language: string },
  wish: WordingWish,
): Promise<void> {
  requireLanguage(language);
  const own = ownWordsOf(kind, wish);
  const changedAt = context.now();
  await context.store.writeSql(async (sql) => {
    for (const { slot } of slotsOf(kind)) {
      const text = own[slot];
      const passage = { organisationId, kind, language, slot };
      if (text === undefined) await removeWordingRow(sql, passage);
      else await storeWording(sql, { ...passage, text, changedAt });
    }
  });
}
