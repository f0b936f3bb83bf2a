import { invalid } from '../../../domain/refusal.ts';
import { VISIT_KINDS } from '../../../usecases/own/visit-records.ts';
import { type Sent, typedIn } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { textIn } from '../shop/form-body.ts';

/** What was done at the pivots that get no word of their own. */
export const OTHERS = ['oiled', 'looked', 'none'] as const;
type Others = (typeof OTHERS)[number];

/** The hidden field that says which of them stood chosen before anybody pressed one. */
const PRESET = 'preset';
const ASKED = 'asked';

/** What stands chosen where a form is opened for this kind: an oiling oils all, another visit none. */
export function presetOthers(kind: string): Others {
  return kind === 'lubrication' ? 'oiled' : 'none';
}

/** The preset of a form as it was opened, or as it came back; empty where no word was preset. */
export function presetIn(sent: Sent | null, kind: string): string {
  return sent === null ? presetOthers(kind) : (typedIn(sent, PRESET) ?? '');
}

/**
 * Refuses what stood chosen for one kind of visit and was sent for another: nobody said it of this one,
 * and eighteen joints would be told as oiled by a look. What somebody chose after being asked is taken.
 */
export function refuseUnpressed(form: SmallForm): void {
  const kind = VISIT_KINDS.find((known) => known === textIn(form, 'kind'));
  const preset = textIn(form, PRESET);
  const others = textIn(form, 'others');
  if (kind === undefined || preset === undefined) return;
  const isSaid =
    preset === ASKED ? others !== undefined : preset === presetOthers(kind) || others !== preset;
  if (isSaid) return;
  throw invalid(
    '#/others',
    'What was chosen stood here before you chose this kind of visit. Say what was done at the pivots without a word of their own.',
  );
}

/** The form as it comes back: what was asked about stands chosen no longer. */
export function withoutPreset(sent: Sent): Sent {
  const isAsked = sent.faults.some((fault) => fault.field === 'others');
  // A browser sends nothing of a choice in which nothing is chosen.
  if (isAsked) return { ...sent, typed: { ...sent.typed, others: '', [PRESET]: ASKED } };
  return sent.typed[PRESET] === ASKED ? { ...sent, typed: { others: '', ...sent.typed } } : sent;
}
