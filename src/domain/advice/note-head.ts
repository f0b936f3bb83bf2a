import type { Advice, NoteHead } from './advice.ts';
import { FITTING_HEADS } from './fitting-heads.ts';
import { FOLD_HEADS } from './fold-heads.ts';
import { YEAR_HEADS } from './year-heads.ts';

const HEADS: Readonly<Record<string, NoteHead>> = {
  ...FITTING_HEADS,
  ...FOLD_HEADS,
  ...YEAR_HEADS,
};

/**
 * Subject and preheader of a note that leads with this advice. Neither tells where a car stands or how
 * its top is, for a locked screen shows both. Throws RangeError for an advice that no note carries.
 */
export function headOf({ id, why }: Pick<Advice, 'id' | 'why'>): Required<NoteHead> {
  const head = Object.hasOwn(HEADS, id) ? HEADS[id] : undefined;
  if (head === undefined) throw new RangeError(`no head for a note about ${id}`);
  return { subject: head.subject, preheader: head.preheader ?? why };
}
