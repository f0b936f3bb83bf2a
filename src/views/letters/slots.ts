import { isFoldedKind, type LetterKind } from './models.ts';
import { placesIn } from '../words/words.ts';

/** Wording that an organisation may put in its own words, in the order of the letter. */
export const SLOTS = ['subject', 'preheader', 'heading', 'lead', 'why', 'closing'] as const;
export type Slot = (typeof SLOTS)[number];

/** An organisation's own wording of one kind in one language; what is absent stays as built. */
export type Overrides = Readonly<Record<string, string>>;

export interface SlotRule {
  readonly slot: Slot;
  /** Names allowed between double braces. */
  readonly places: readonly string[];
  readonly maxLength: number;
  readonly lines: 'one' | 'many';
}

const PLACES: Readonly<Record<LetterKind, readonly string[]>> = {
  'lubrication-ahead': ['due', 'from', 'to'],
  'lubrication-due': ['due', 'from', 'to'],
  'lubrication-late': ['due', 'late'],
  'look-due': ['since', 'from', 'to'],
  'look-late': ['since', 'from', 'to'],
  'folded-nearing': [],
  'folded-over': [],
  'folded-still': [],
  'must-stay': [],
  'care-note': ['about', 'because'],
  'visit-offered': ['visit'],
  'visit-booked': ['visit', 'when'],
  'visit-moved': ['visit', 'when'],
  'visit-called-off': ['visit'],
  'visit-report': ['visit', 'done', 'outcome'],
  'warranty-ending': ['part', 'ends'],
  'care-day-asked': ['when', 'place'],
  estimate: ['number', 'until'],
  'club-letter': ['title'],
};

/**
 * What may be reworded in a kind of letter, and which places its words may use: nothing of the one that
 * keeps people from harm.
 */
export function slotsOf(kind: LetterKind): readonly SlotRule[] {
  if (kind === 'must-stay') return [];
  return SLOTS.map((slot) => {
    const head = slot === 'subject' || slot === 'preheader';
    // What shows in a list of mail must not tell strangers which car stands unattended.
    const hidden = head && isFoldedKind(kind);
    return {
      slot,
      places: hidden ? [] : ['organisation', 'owner', 'cars', ...PLACES[kind]],
      maxLength: {
        subject: 120,
        preheader: 160,
        heading: 120,
        lead: 1200,
        why: 1200,
        closing: 400,
      }[slot],
      lines: head || slot === 'heading' ? 'one' : 'many',
    };
  });
}

/** What is wrong with an organisation's wording, in plain words; an empty list means it will do. */
export function validateOverride(kind: LetterKind, slot: string, text: string): string[] {
  const rule = slotsOf(kind).find((candidate) => candidate.slot === slot);
  if (!rule) return [`There is no wording called "${slot}"; choose one of ${SLOTS.join(', ')}`];
  const problems: string[] = [];
  if (text.trim() === '') problems.push('Write something, or remove the wording to get ours back');
  if (text.length > rule.maxLength) problems.push(`Use at most ${rule.maxLength} characters`);
  const bare = rule.lines === 'many' ? text.replaceAll('\n', '') : text;
  if (/[\p{Cc}\u2028\u2029]/u.test(bare)) {
    problems.push(
      rule.lines === 'one'
        ? 'Keep it on one line'
        : 'Remove control characters; plain line breaks stay',
    );
  }
  for (const name of new Set(placesIn(text))) {
    if (rule.places.includes(name)) continue;
    const allowed = rule.places.map((place) => `{{${place}}}`).join(', ') || 'none';
    problems.push(`{{${name}}} cannot stand here; allowed: ${allowed}`);
  }
  if (/\{\{|\}\}/.test(text.replaceAll(/\{\{\s*[A-Za-z]+\s*\}\}/g, ''))) {
    problems.push('A double brace is not closed around one plain name, as in {{owner}}');
  }
  if (rule.places.length === 0 && /\p{N}/u.test(text)) {
    problems.push('No figures here: what shows unopened must not tell dates, addresses or numbers');
  }
  return problems;
}
