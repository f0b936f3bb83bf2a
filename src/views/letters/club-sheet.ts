import type { Checked } from './models.ts';
import { EMPTY_BODY, type LetterBody } from './sheet.ts';

/** A letter of the club in the secretary's own words, paragraph by paragraph, and nothing of ours. */
export function clubBody({ title, paragraphs }: Checked<'club-letter'>): LetterBody {
  return { ...EMPTY_BODY, figures: { title }, notes: paragraphs };
}
