import type { KeepingQuestion, Salt } from '../../../domain/lubrication/keeping.ts';
import { PLACES, SALTS, USES } from '../../../domain/lubrication/keeping.ts';
import type { OrganisationKind } from '../../../domain/organisation-kind.ts';
import type { Instant } from '../../../domain/calendar/instant.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import type { FoldedClock } from '../../../domain/folding/clock.ts';
import type { Position } from '../../../domain/folding/position-log.ts';
import type { LubricationDue } from '../../../domain/lubrication/due.ts';
import type { LookDue } from '../../../domain/lubrication/look-again.ts';
import { becauseInWords } from '../../../views/because.ts';
import { clockWords, type ClockWords } from '../frame/clock-words.ts';
import { careWords, type StayWords, stayWords } from '../../../views/letters/stay.ts';
import { type Speaker, speakerOf } from '../../../views/letters/sheet.ts';
import { entryForm, type EntryFormModel, type OwnerSent } from './entry-form.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import type { Voice } from '../../../views/words/voice.ts';

/** What is known of a car that its owner's page tells of. */
export interface OwnerCarFacts {
  readonly id: string;
  readonly topId: string | null;
  readonly registration: string;
  readonly timeZone: string;
  readonly clock: FoldedClock & { readonly mayMove: MayMove };
  readonly ownerSince: Instant | null;
  readonly untold: readonly KeepingQuestion[];
  readonly entries: readonly {
    readonly id: string;
    readonly position: Position;
    readonly at: Instant;
    readonly damp: boolean;
    readonly coverOn: boolean | null;
  }[];
  readonly top: {
    readonly lubrication: LubricationDue & { readonly because: readonly string[] };
    /** The visit whose find made the oil due, where the due day had gone by before it. */
    readonly askedSince: Day | null;
    readonly look: LookDue | null;
    readonly toldToday: boolean;
    readonly powered: boolean;
    readonly material: string;
    readonly window: string;
    readonly floor: { readonly celsius: number; readonly byHandbook: boolean };
  } | null;
}

interface NextModel {
  readonly position: Position;
  readonly button: string;
  readonly folds: boolean;
  /** What the tick for damp says. */
  readonly damp: string;
}

/** A car on its owner's page. */
export interface OwnerCarModel {
  readonly id: string;
  readonly name: string;
  /** It must not be moved: said before anything else, and nothing here asks for it. */
  readonly stay: StayWords | null;
  /** How it is moved with care; empty where it may be moved as always. */
  readonly care: readonly string[];
  readonly clock: ClockWords;
  /** What the big button says: the other position than the present one, either where nothing was ever logged; none where it must stay. */
  readonly next: readonly NextModel[];
  /** The button that says it has dried; null where it is not waited for. */
  readonly dry: string | null;
  readonly other: string;
  /** How cold is too cold; null where no top is on it. */
  readonly cold: string | null;
  /** Before it is raised: what the cold asks for first, as the letters say it; null while it is up. */
  readonly warmFirst: string | null;
  /** The form for what was earlier or is something else. */
  readonly form: EntryFormModel;
  readonly entries: readonly {
    readonly id: string;
    readonly words: string;
    readonly form: EntryFormModel;
  }[];
  readonly oil: OilModel | null;
  /** What the owner is asked about how the car is kept; empty where all is told. */
  readonly questions: readonly QuestionModel[];
}

interface QuestionModel {
  readonly name: KeepingQuestion;
  readonly label: string;
  readonly answers: readonly { readonly value: string; readonly words: string }[];
}

interface OilModel {
  readonly state: LubricationDue['state'];
  readonly heading: string;
  readonly words: string;
  readonly because: readonly string[];
  /** When a joint that was found stiff or repaired is looked at again; null where none is. */
  readonly look: string | null;
  readonly told: boolean;
}

/** When and through whom a car's page is looked at. */
interface CarSetting {
  readonly now: Instant;
  readonly restHours: number;
  readonly organisation: { readonly kind: OrganisationKind; readonly phone: string | null };
}

/** What stands of a car on its owner's page: where its top is, what to do with it, and its oil. */
export function ownerCarSheet(
  car: OwnerCarFacts,
  { now, restHours, organisation }: CarSetting,
  voice: Voice,
  sent: OwnerSent | null,
): OwnerCarModel {
  const move = { registration: car.registration, ...car.clock.mayMove };
  const whom = { kind: organisation.kind, phone: organisation.phone };
  const speaker = speakerOf(voice.language);
  const stay = stayWords([move], whom, speaker);
  const { timeZone, ownerSince: readsFrom } = car;
  const clock = clockWords(car.clock, { timeZone, now, restHours, readsFrom }, voice);
  const typed = { voice, timeZone, now };
  return {
    id: car.id,
    name: car.registration,
    stay,
    care: careWords([move], speaker, organisation.kind),
    clock: { ...clock, note: noteOf(car, stay !== null, clock.note, voice) },
    next: stay === null ? nextOf(car.clock.position, voice) : [],
    dry: stay === null && car.clock.restsFrom !== undefined ? voice.say('owner.button.dry') : null,
    cold: car.top === null || stay !== null ? null : coldWords(car.top, voice),
    warmFirst:
      car.top !== null && stay === null && isDown(car) ? warmFirst(car.top.floor, speaker) : null,
    form: entryForm(sent, { carId: car.id, entryId: null }, '', typed),
    other: voice.say(stay === null ? 'owner.other' : 'owner.other.stay'),
    entries: car.entries.map((entry) => ({
      id: entry.id,
      form: entryForm(sent, { carId: car.id, entryId: entry.id }, entry.position, typed),
      words: voice.say('owner.entry', {
        what: [
          voice.say(`position.${entry.position}`),
          ...(entry.damp ? [voice.say('owner.damp')] : []),
          ...(entry.coverOn === true ? [voice.say('owner.cover')] : []),
        ].join(', '),
        when: voice.moment(entry.at, car.timeZone, now),
      }),
    })),
    oil: car.top === null || stay !== null ? null : oilModel(car.top, voice),
    questions: stay === null ? car.untold.map((name) => questionModel(name, voice)) : [],
  };
}

function noteOf(
  { clock: { position } }: OwnerCarFacts,
  stays: boolean,
  note: string | null,
  { say }: Voice,
): string | null {
  if (stays) return null;
  // Here are buttons for either.
  return position === null ? say('owner.unknown') : note;
}

function nextOf(position: Position | null, { say }: Voice): NextModel[] {
  const raise = {
    position: 'raised' as const,
    button: say('owner.button.raised'),
    folds: false,
    damp: say('owner.tick.still-damp'),
  };
  const fold = {
    position: 'folded' as const,
    button: say('owner.button.folded'),
    folds: true,
    damp: say('owner.tick.damp'),
  };
  if (position === null) return [fold, raise];
  return [position === 'raised' ? fold : raise];
}

const SALT_KEYS: Readonly<Record<Salt, string>> = {
  none: 'away-from-salt',
  'winter-roads': 'salted-winter-roads',
  'near-sea': 'a-few-km-from-the-sea',
  'by-sea': 'by-the-sea',
  'sea-front': 'on-the-sea-front',
};
const ANSWERS: Readonly<Record<KeepingQuestion, readonly (readonly [string, string])[]>> = {
  place: PLACES.map((place) => [place, `place.${place}`]),
  salt: SALTS.map((salt) => [salt, `salt.${SALT_KEYS[salt]}`]),
  use: USES.map((use) => [use, `use.${use}`]),
};

function questionModel(name: KeepingQuestion, voice: Voice): QuestionModel {
  return {
    name,
    label: voice.say(`keeping.${name}`),
    answers: ANSWERS[name].map(([value, key]) => ({ value, words: voice.say(key) })),
  };
}

/** It is known to be down, and so is to be raised next. */
function isDown({ clock: { position } }: OwnerCarFacts): boolean {
  return position === 'folded' || position === 'folded-under-hard-top';
}

function warmFirst(
  { celsius }: NonNullable<OwnerCarFacts['top']>['floor'],
  speaker: Speaker,
): string {
  return speaker.say('folded.step.cold', { celsius: String(celsius).replace('-', '−') });
}

function coldWords(
  { floor: { celsius, byHandbook }, material, window }: NonNullable<OwnerCarFacts['top']>,
  voice: Voice,
): string {
  const brittle = [
    ...(material === 'vinyl' ? ['vinyl'] : []),
    ...(window === 'clear-vinyl' ? ['window'] : []),
  ].join('-');
  const why = brittle === '' ? '' : `: ${voice.say(`owner.cold.${brittle}`)}`;
  const figures = { celsius: String(celsius).replace('-', '−'), why };
  return voice.say(byHandbook ? 'owner.care.cold' : 'owner.care.cold.rule', figures);
}

function oilModel(top: NonNullable<OwnerCarFacts['top']>, voice: Voice): OilModel {
  const { lubrication, look, toldToday, askedSince } = top;
  const { state, dueOn, windowFrom, windowTo, lastOn, because } = lubrication;
  const how = askedSince === null ? state : 'found';
  return {
    state,
    heading: voice.say(`oil.heading.${state}`),
    words: voice.say(lastOn === null ? `oil.words.${how}` : `oil.words.${how}.last`, {
      found: askedSince === null ? '' : voice.day(askedSince),
      due: voice.day(dueOn),
      from: voice.day(windowFrom),
      to: voice.day(windowTo),
      last: lastOn === null ? '' : voice.day(lastOn),
    }),
    because: because.map((line) => becauseInWords(line, voice)),
    look: look === null ? null : lookWords(look, voice),
    told: toldToday,
  };
}

function lookWords({ since, windowFrom, windowTo }: LookDue, voice: Voice): string {
  return voice.say('oil.look', {
    since: voice.day(since),
    from: voice.day(windowFrom),
    to: voice.day(windowTo),
  });
}
