import { foldedBody } from './folded-sheet.ts';
import { lubricationBody } from './lubrication-sheet.ts';
import { checkModel, type LetterKind, type LetterModel } from './models.ts';
import { careBody, warrantyBody } from './note-sheets.ts';
import { RenderRefused } from './refused.ts';
import { reportBody } from './report-sheet.ts';
import { type Checked, type LetterBody, registrations, type Speaker, speakerOf } from './sheet.ts';
import { type Overrides, type Slot, SLOTS, validateOverride } from './slots.ts';
import { strictly } from './strict.ts';
import { templateOf } from './templates.ts';
import { visitBody } from './visit-sheet.ts';
import { fill } from './words.ts';

export { RenderRefused } from './refused.ts';
export { slotsOf, validateOverride } from './slots.ts';

/** A letter written out. `subject` is one line; `text` and `html` say the same. */
export interface WrittenLetter {
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}

/**
 * Writes a letter from its model, in the reader's language where `templates/letters/words/` has
 * it, else in English. `overrides` are the organisation's own wordings by slot, in the language of
 * the letter. Throws {@link RenderRefused}, naming the field, when anything is missing, unknown or
 * cannot stand in a letter; a letter with a gap is never returned.
 */
export function renderLetter<K extends LetterKind>(
  kind: K,
  model: LetterModel<K>,
  overrides: Overrides = {},
): WrittenLetter {
  const checked = checkModel(kind, model);
  const speaker = speakerOf(checked.language);
  const body = bodyOf(kind, checked, speaker);
  const slots = wordings(kind, checked, body, speaker, overrides);
  const data = strictly({
    ...body,
    ...heads(kind, checked, speaker),
    lang: speaker.language,
    subject: slots.subject,
    own: (slot: Slot) => strictly(slots)[slot],
    say: speaker.say,
  });
  const html = templateOf(kind, 'html')(data);
  const text = templateOf(kind, 'txt')(data).replaceAll(/[ \t]+$/gm, '');
  return { subject: slots.subject, text: `${text.replaceAll(/\n{3,}/g, '\n\n').trim()}\n`, html };
}

function bodyOf<K extends LetterKind>(kind: K, model: Checked<K>, speaker: Speaker): LetterBody {
  switch (kind) {
    case 'lubrication-ahead':
    case 'lubrication-due':
    case 'lubrication-late':
      return lubricationBody(model as Checked<'lubrication-due'>, speaker);
    case 'folded-nearing':
    case 'folded-over':
    case 'folded-still':
      return foldedBody(model as Checked<'folded-over'>, kind, speaker);
    case 'care-note':
      return careBody(model as Checked<'care-note'>, speaker);
    case 'visit-report':
      return reportBody(model as Checked<'visit-report'>, speaker);
    case 'warranty-ending':
      return warrantyBody(model as Checked<'warranty-ending'>, speaker);
    default:
      return visitBody(model as Checked<'visit-offered'>, kind, speaker);
  }
}

function wordings<K extends LetterKind>(
  kind: K,
  model: Checked<K>,
  body: LetterBody,
  speaker: Speaker,
  overrides: Overrides,
): Record<Slot, string> {
  for (const [slot, text] of Object.entries(overrides)) {
    const problem = validateOverride(kind, slot, text)[0];
    if (problem !== undefined) throw new RenderRefused(`overrides.${slot}`, problem);
  }
  const cars = registrations(speaker, model.cars);
  const organisation = model.organisation.name;
  const figures = { organisation, owner: model.owner.name, cars, ...body.figures };
  const written = SLOTS.map((slot) => {
    const own = Object.hasOwn(overrides, slot) ? overrides[slot] : undefined;
    const common = slot === 'closing' ? slot : `${kind}.${slot}`;
    const text =
      own === undefined ? speaker.say(common, figures, model.cars.length) : fill(own, figures);
    return [slot, text] as const;
  });
  const slots = Object.fromEntries(written) as Record<Slot, string>;
  if (/[\p{Cc}\u2028\u2029]/u.test(slots.subject)) {
    throw new RenderRefused('subject', 'must be one line without control characters');
  }
  return slots;
}

/** The frame of the letter: who writes, to whom, why it came and how to stop it. */
function heads<K extends LetterKind>(kind: K, model: Checked<K>, speaker: Speaker) {
  const { organisation, owner, links } = model;
  const { name, phone } = organisation;
  return {
    organisation: {
      name,
      logo: organisation.logo,
      address: organisation.postalAddress?.split('\n').filter((part) => part.trim() !== '') ?? [],
      phone,
    },
    greeting: speaker.say('greeting', { owner: owner.name }),
    contact:
      phone === null ? speaker.say('contact.answer') : speaker.say('contact.phone', { phone }),
    reason: speaker.say(`reason.${organisation.kind}`, { organisation: name }),
    topic: speaker.say(`topic.${topicOf(kind)}`),
    links: { preferences: links.preferences, stop: links.stop },
  };
}

function topicOf(kind: LetterKind): 'lubrication' | 'folded' | 'care' | 'visit' | 'warranty' {
  const family = kind.split('-')[0];
  switch (family) {
    case 'lubrication':
    case 'folded':
    case 'care':
    case 'warranty':
      return family;
    default:
      return 'visit';
  }
}
