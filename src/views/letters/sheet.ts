import type { Day } from '../../domain/calendar/day.ts';
import { moneyWords } from '../../domain/money/amount.ts';
import { currencyOf } from '../../domain/money/currency.ts';
import { kept } from '../words/kept.ts';
import type { Picture } from './pictures.ts';
import { RenderRefused } from '../words/refused.ts';
import { type Fillings, fill, phrase, voiceOf } from '../words/words.ts';

/** A letter written out. `subject` is one line; `text` and `html` say the same. */
export interface WrittenLetter {
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}

export interface Fact {
  readonly label: string;
  readonly value: string;
}

/** One car of the letter, or the cars of one visit together. */
export interface CarBlock {
  readonly name: string;
  readonly facts: readonly Fact[];
  readonly notes: readonly string[];
}

export interface Offers {
  readonly intro: readonly string[];
  readonly items: readonly { readonly label: string; readonly url: string }[];
}

/** How the owner says that it is done: a link, or the words alone where there is none. */
export interface Tell {
  readonly text: string;
  readonly button: string | null;
  readonly url: string | null;
}

export interface AdviceLine {
  /** Null where the heading of the letter is its heading. */
  readonly heading: string | null;
  readonly text: string;
  readonly why: string;
}

/** A link in the run of the words. */
export interface Pointer {
  readonly text: string;
  readonly url: string;
}

export interface PivotLine {
  /** Where it stands in the picture. */
  readonly number: string;
  readonly sign: string;
  readonly verdict: string;
  readonly sentence: string;
}

/** Lines under a heading of their own. */
export interface Section {
  readonly heading: string;
  readonly lines: readonly string[];
}

/** A picture that the letter carries, with the words below it. */
export interface PhotoLine {
  readonly picture: string;
  readonly words: string;
}

/** What stands between greeting and closing, in words. Both formats are written from this one. */
export interface LetterBody {
  /** The words that it takes where those of its kind would say something else than it does. */
  readonly words: string | null;
  /** Fills the places of subject, heading and the other wordings. */
  readonly fillings: Fillings;
  readonly cars: readonly CarBlock[];
  /** What holds for all the cars, said once. */
  readonly notes: readonly string[];
  readonly first: readonly string[];
  readonly steps: readonly string[];
  readonly offers: Offers | null;
  readonly tell: Tell | null;
  /** Where a booked visit is moved or cancelled. */
  readonly manage: Tell | null;
  readonly picture: Picture | null;
  readonly advice: readonly AdviceLine[];
  /** Where an advice in this letter stands with its sources. */
  readonly sources: Pointer | null;
  /** Of a report: what was done, before what was found. */
  readonly done: readonly Section[];
  readonly pivots: readonly PivotLine[];
  /** Of a report: what else was seen, what was left undone, what comes next. */
  readonly ahead: readonly Section[];
  readonly photos: readonly PhotoLine[];
  readonly cautions: readonly string[];
  /** What else is worth saying on the day, below the main matter. */
  readonly also: readonly AlsoBlock[];
}

export interface AlsoBlock {
  readonly heading: string;
  readonly lines: readonly string[];
  /** It asks for something that moves or works the top. */
  readonly moves: boolean;
}

/** Past this many cars each is told in brief, so that the letter stays short enough to be read. */
export const IN_FULL = 4;

export const EMPTY_BODY: LetterBody = {
  words: null,
  fillings: {},
  cars: [],
  notes: [],
  first: [],
  steps: [],
  offers: null,
  tell: null,
  manage: null,
  picture: null,
  advice: [],
  sources: null,
  done: [],
  pivots: [],
  ahead: [],
  photos: [],
  cautions: [],
  also: [],
};

/** Speaks the words of one language with the days and numbers of its locale. */
export interface Speaker {
  readonly language: string;
  readonly say: (key: string, fillings?: Fillings, count?: number) => string;
  /** A phrase with {{count}}, in the form that the number asks for. */
  count(key: string, count: number): string;
  day(day: Day): string;
  instant(instant: string, timeZone: string): string;
  /** "08:30", on the clock of the zone. */
  time(instant: string, timeZone: string): string;
  span(from: Day, to: Day): string;
  /** "March 2027" */
  month(day: Day): string;
  /** An ISO week with its days, as it reads in a sentence or alone; other words stay as they are. */
  week(label: string, place: 'label' | 'button'): string;
  list(items: readonly string[]): string;
  /** An amount in the smallest unit of a currency, with all its digits. */
  money(currency: string, units: number): string;
}

const speakers = new Map<string, Speaker>();

/** The speaker of a language tag; see {@link voiceOf} for the language it speaks. */
export function speakerOf(tag: string): Speaker {
  return kept(speakers, tag, () => makeSpeaker(tag));
}

function makeSpeaker(tag: string): Speaker {
  const { language, words, locale } = voiceOf(tag);
  const say = (key: string, fillings: Fillings = {}, count?: number): string =>
    fill(phrase(words, key, locale, count), fillings);
  return {
    language,
    say,
    count: (key, count) => say(key, { count: locale.number(count) }, count),
    day: (day) => locale.day(day),
    instant: (instant, timeZone) => locale.instant(instant, timeZone),
    time: (instant, timeZone) => locale.time(instant, timeZone),
    span: (from, to) => locale.span(from, to),
    month: (day) => locale.month(day),
    week: (label, place) => {
      const number = /^\d{4}-W(\d{2})$/.exec(label)?.[1];
      if (number === undefined) return label;
      try {
        return say(`week.${place}`, { week: String(Number(number)), days: locale.week(label) });
      } catch (error) {
        if (error instanceof RangeError) throw new RenderRefused('week', error.message);
        throw error;
      }
    },
    list: (items) => locale.list(items),
    money: (currency, units) => moneyWords(locale.tag, currencyOf(currency), units),
  };
}

interface NamedCar {
  readonly registration: string;
  readonly topWords?: string | undefined;
}

export function carName(car: NamedCar): string {
  return car.topWords === undefined ? car.registration : `${car.registration}, ${car.topWords}`;
}

export function registrations(speaker: Speaker, cars: readonly NamedCar[]): string {
  return speaker.list(cars.map((car) => car.registration));
}
