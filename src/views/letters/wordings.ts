import type { Checked, LetterKind } from './models.ts';
import { RenderRefused } from '../words/refused.ts';
import { type LetterBody, registrations, type Speaker } from './sheet.ts';
import { type Overrides, type Slot, validateOverride } from './slots.ts';
import { type Fillings, fill } from '../words/words.ts';

/**
 * Every wording of a letter, the organisation's own where it has one, filled. Throws
 * {@link RenderRefused} for an override that could not have been saved and for a subject that is
 * not one line.
 */
export function wordings(
  kind: LetterKind,
  model: Checked<LetterKind>,
  { fillings, words }: Pick<LetterBody, 'fillings' | 'words'>,
  speaker: Speaker,
  overrides: Overrides,
): Record<Slot, string> {
  for (const [slot, text] of Object.entries(overrides)) {
    const problem = validateOverride(kind, slot, text)[0];
    if (problem !== undefined) throw new RenderRefused(`overrides.${slot}`, problem);
  }
  const all: Fillings = {
    organisation: model.organisation.name,
    owner: model.owner.name,
    cars: registrations(speaker, model.cars),
    ...fillings,
  };
  const say = (slot: Slot): string => {
    const own = Object.hasOwn(overrides, slot) ? overrides[slot] : undefined;
    if (own !== undefined) return fill(own, all);
    const key = slot === 'closing' ? slot : `${words ?? kind}.${slot}`;
    return speaker.say(key, all, model.cars.length);
  };
  const subject = say('subject');
  if (/[\p{Cc}\u2028\u2029]/u.test(subject)) {
    throw new RenderRefused('subject', 'must be one line without control characters');
  }
  return {
    subject,
    preheader: say('preheader'),
    heading: say('heading'),
    lead: say('lead'),
    why: say('why'),
    closing: say('closing'),
  };
}
