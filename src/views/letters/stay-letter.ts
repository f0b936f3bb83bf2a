import { type Checked, isFoldedKind, type LetterKind } from './models.ts';
import {
  type CarBlock,
  EMPTY_BODY,
  type LetterBody,
  registrations,
  type Speaker,
} from './sheet.ts';
import type { Slot } from './slots.ts';
import type { StayWords } from './stay.ts';

const ASKS_TO_MOVE: ReadonlySet<LetterKind> = new Set([
  'lubrication-ahead',
  'lubrication-due',
  'lubrication-late',
  'look-due',
  'look-late',
  'folded-nearing',
  'folded-over',
  'folded-still',
  'must-stay',
]);

const KEEPS_ITS_WHY: ReadonlySet<LetterKind> = new Set([
  'warranty-ending',
  'visit-report',
  'estimate',
]);

/**
 * The body of a letter about a top that must not be moved: what asks to raise, fold or work it makes
 * room for what keeps it from harm; what merely tells of a visit or a warranty stays.
 */
export function stayBody(
  kind: LetterKind,
  usual: LetterBody,
  stay: StayWords,
  speaker: Speaker,
): LetterBody {
  const cautions = [...stay.cautions];
  const also = usual.also.filter(({ moves }) => !moves);
  if (!ASKS_TO_MOVE.has(kind)) {
    return {
      ...usual,
      cars: COMES.has(kind) ? usual.cars.map((car) => withComing(car, stay, speaker)) : usual.cars,
      first: [],
      steps: [],
      picture: kind === 'care-note' ? null : usual.picture,
      advice: [],
      sources: null,
      tell: null,
      // Nobody whose top must stay is asked to be driven to a care day.
      offers: kind === 'care-day-asked' ? null : usual.offers,
      cautions,
      also,
    };
  }
  return {
    ...EMPTY_BODY,
    fillings: usual.fillings,
    cars: usual.cars.map((car) => ({ ...car, notes: [] })),
    notes: notesOf(kind, usual, speaker),
    steps: [...stay.steps],
    cautions,
    also,
  };
}

function notesOf(kind: LetterKind, { notes }: LetterBody, { say }: Speaker): readonly string[] {
  if (kind === 'must-stay') return notes;
  if (kind === 'folded-nearing') return [];
  return [say(isFoldedKind(kind) ? 'stay.limit' : 'stay.oil')];
}

const COMES: ReadonlySet<LetterKind> = new Set(['visit-booked', 'visit-moved']);

/** How it is kept until its visit, and that its way there is agreed on first. */
function withComing(car: CarBlock, stay: StayWords, speaker: Speaker): CarBlock {
  return { ...car, notes: [...stay.steps, speaker.say('stay.come'), ...car.notes] };
}

/** First of all that the top stays as it is; an organisation's own wording cannot say otherwise. */
export function staySlots(
  kind: LetterKind,
  organisation: string,
  said: Record<Slot, string>,
  stay: StayWords,
  speaker: Speaker,
): Record<Slot, string> {
  const lead = stay.lead.join('\n\n');
  const asks = ASKS_TO_MOVE.has(kind);
  const built = { preheader: speaker.say('must-stay.preheader'), heading: stay.heading };
  return {
    ...built,
    subject: asks ? speaker.say('must-stay.subject') : said.subject,
    lead: asks ? lead : `${lead}\n\n${said.lead}`,
    why: KEEPS_ITS_WHY.has(kind) ? said.why : speaker.say('must-stay.why'),
    closing: speaker.say('closing', { organisation }),
  };
}

/** What is to be said besides that the tops must stay, which every letter about such a top says first. */
export function mustStayBody(model: Checked<'must-stay'>, speaker: Speaker): LetterBody {
  const { cars, moves, oilWaits, organisation } = model;
  const isBooked = moves.some(({ repairOn }) => repairOn !== null);
  return {
    ...EMPTY_BODY,
    fillings: { car: registrations(speaker, cars) },
    notes: [
      ...(isBooked && organisation.kind !== 'private' ? [speaker.say('stay.come')] : []),
      ...(oilWaits ? [speaker.say('stay.oil')] : []),
    ],
  };
}
