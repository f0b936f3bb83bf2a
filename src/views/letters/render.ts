import { careDayBody } from './care-day-sheet.ts';
import { estimateBody } from './estimate-sheet.ts';
import { foldedBody } from './folded-sheet.ts';
import { writeByForm } from './form-letter.ts';
import { lookBody } from './look-sheet.ts';
import { lubricationBody } from './lubrication-sheet.ts';
import { type Checked, checkModel, type LetterKind, type LetterModel } from './models.ts';
import { careBody, clubBody, warrantyBody } from './note-sheets.ts';
import { reportBody } from './report-sheet.ts';
import { type LetterBody, type Speaker, speakerOf, type WrittenLetter } from './sheet.ts';
import type { Overrides, Slot } from './slots.ts';
import { stayWords } from './stay.ts';
import { mustStayBody, stayBody, staySlots } from './stay-letter.ts';
import { RenderRefused } from '../words/refused.ts';
import { strictly } from './strict.ts';
import { templateOf } from './templates.ts';
import { visitBody } from './visit-sheet.ts';
import { wordings } from './wordings.ts';

export type { WrittenLetter } from './sheet.ts';

type BodyOf<K extends LetterKind> = (model: Checked<K>, speaker: Speaker) => LetterBody;

const BODIES: { readonly [K in LetterKind]: BodyOf<K> } = {
  'lubrication-ahead': lubricationBody,
  'lubrication-due': lubricationBody,
  'lubrication-late': lubricationBody,
  'look-due': lookBody,
  'look-late': lookBody,
  'folded-nearing': foldedBody,
  'folded-over': foldedBody,
  'folded-still': foldedBody,
  'must-stay': mustStayBody,
  'care-note': careBody,
  'visit-offered': visitBody('offered'),
  'visit-booked': visitBody('booked'),
  'visit-moved': visitBody('moved'),
  'visit-called-off': visitBody('called-off'),
  'visit-report': reportBody,
  'warranty-ending': warrantyBody,
  'care-day-asked': careDayBody,
  estimate: estimateBody,
  'club-letter': clubBody,
};

const TOPICS: Readonly<Record<LetterKind, string>> = {
  'lubrication-ahead': 'lubrication',
  'lubrication-due': 'lubrication',
  'lubrication-late': 'lubrication',
  'look-due': 'look',
  'look-late': 'look',
  'folded-nearing': 'folded',
  'folded-over': 'folded',
  'folded-still': 'folded',
  'must-stay': 'stay',
  'care-note': 'care',
  'visit-offered': 'visit',
  'visit-booked': 'visit',
  'visit-moved': 'visit',
  'visit-called-off': 'visit',
  'visit-report': 'visit',
  'warranty-ending': 'warranty',
  'care-day-asked': 'care-day',
  estimate: 'estimate',
  'club-letter': 'club-letter',
};

/**
 * Writes a letter from its model, in the reader's language where `templates/letters/words/` has
 * it, else in English. `overrides` are the organisation's own wordings by slot, in the language of
 * the letter. Throws RenderRefused, naming the field, when anything is missing, unknown or cannot
 * stand in a letter; a letter with a gap is never returned.
 */
export function renderLetter<K extends LetterKind>(
  kind: K,
  model: LetterModel<K>,
  overrides: Overrides = {},
): WrittenLetter {
  return writeByForm(kind, model, overrides, (whole) => writeWhole(kind, whole, overrides));
}

/** As {@link renderLetter}, from the model alone: what a form is made by and must agree with. */
export function writeWhole<K extends LetterKind>(
  kind: K,
  model: LetterModel<K>,
  overrides: Overrides,
): WrittenLetter {
  const checked: Checked<K> = checkModel(kind, model);
  const speaker = speakerOf(checked.language);
  const stay = stayWords(checked.moves, checked.organisation, speaker);
  if (kind === 'must-stay' && stay === null) {
    throw new RenderRefused('moves', 'must name a top that must stay');
  }
  const usual = BODIES[kind](checked, speaker);
  const body = stay === null ? usual : stayBody(kind, usual, stay, speaker);
  // An organisation's own wording was written for tops that may be moved, and for the usual case.
  const mine = stay === null && body.words === null ? overrides : {};
  const said = wordings(kind, checked, body, speaker, mine);
  const slots =
    stay === null ? said : staySlots(kind, checked.organisation.name, said, stay, speaker);
  const own = strictly(slots);
  const data = strictly({
    ...body,
    ...framing(kind, checked, speaker),
    lang: speaker.language,
    subject: slots.subject,
    own: (slot: Slot) => own[slot],
    say: speaker.say,
  });
  const html = templateOf(kind, 'html')(data);
  const text = templateOf(
    kind,
    'txt',
  )(data)
    .replaceAll(/\n{3,}/g, '\n\n')
    .trim();
  return { subject: slots.subject, text: `${text}\n`, html };
}

/** What every letter says around its body: who writes, to whom, why it came, how to stop it. */
function framing(kind: LetterKind, model: Checked<LetterKind>, speaker: Speaker) {
  const { organisation, owner, links } = model;
  const { name, logo, phone, postalAddress } = organisation;
  const address = postalAddress?.split('\n').filter((part) => part.trim() !== '') ?? [];
  return {
    organisation: { name, logo, address, phone },
    greeting: speaker.say('greeting', { owner: owner.name }),
    contact: contact(organisation, speaker),
    reason: speaker.say(reasonOf(organisation, owner), { organisation: name }),
    topic: speaker.say(`topic.${TOPICS[kind]}`),
    links: { preferences: links.preferences, stop: links.stop, privacy: links.privacy },
  };
}

/** Who keeps the own cars is told so, and not of somebody of the same name. */
function reasonOf(
  { kind, name }: Checked<LetterKind>['organisation'],
  owner: Checked<LetterKind>['owner'],
): string {
  return kind === 'private' && owner.name === name ? 'reason.private.self' : `reason.${kind}`;
}

/** A private owner writes to himself and needs no way to reach us. */
function contact(
  { kind, phone }: Checked<LetterKind>['organisation'],
  speaker: Speaker,
): string | null {
  if (kind === 'private') return null;
  return phone === null ? speaker.say('contact.answer') : speaker.say('contact.phone', { phone });
}
