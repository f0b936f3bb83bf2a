import { unbroken } from '../frame/phone-words.ts';
import type { VisitKind } from '../../../domain/bench/minutes.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import type { Instant } from '../../../domain/calendar/instant.ts';
import { dayIn } from '../../../domain/calendar/zone.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import { speakerOf } from '../../../views/letters/sheet.ts';
import { type StayWords, stayWords } from '../../../views/letters/stay.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

interface DayFacts {
  readonly value: string;
  readonly on: Day;
  readonly dropOffAt: Instant;
  readonly readyAt: Instant;
}

/** How the choice of a day stands. */
export interface BookFacts {
  readonly organisation: {
    readonly name: string;
    readonly postalAddress: string | null;
    readonly phone: string | null;
  };
  readonly registration: string;
  readonly kind: VisitKind;
  readonly mayMove: MayMove;
  readonly timeZone: string;
  readonly booked: {
    readonly on: Day;
    readonly dropOffAt: Instant | null;
    readonly readyAt: Instant | null;
    readonly changeUntil: Day | null;
  } | null;
  readonly was: string;
  readonly days: readonly DayFacts[];
  readonly minutes: number | null;
}

export interface DayModel {
  readonly value: string;
  readonly day: string;
  readonly times: string;
}

export interface BookModel {
  /** The top must not be moved: said before anything else. */
  readonly stay: StayWords | null;
  readonly heading: string;
  readonly lead: readonly string[];
  /** What the last press came to; null where nothing was pressed. */
  readonly notice: string | null;
  readonly was: string;
  readonly daysHeading: string;
  readonly days: readonly DayModel[];
  readonly moreWords: string;
  readonly more: readonly DayModel[];
  /** Null where there is nothing to cancel here. */
  readonly cancel: { readonly words: string; readonly sure: string } | null;
  readonly contact: string;
  readonly sender: readonly string[];
}

/** What the last press came to. */
export type Came = 'booked' | 'moved' | 'cancelled' | 'gone' | 'nothing';

const SHOWN = 6;

/** The page behind a link to a visit: the days to choose from, or the day that is booked. */
export function bookSheet(facts: BookFacts, voice: Voice, came: Came | null): [Frame, BookModel] {
  const { say } = voice;
  const { organisation, booked } = facts;
  const { name, postalAddress, phone } = organisation;
  const days = facts.days.map((day) => dayModel(day, facts.timeZone, voice));
  const changeable = booked !== null && booked.changeUntil !== null;
  const contact = booked === null ? 'book.contact' : 'book.contact.booked';
  const model: BookModel = {
    stay: stayWords(
      [{ registration: facts.registration, ...facts.mayMove }],
      // Days come from shops and clubs alone.
      { kind: 'shop', phone },
      speakerOf(voice.language),
    ),
    heading: say(booked === null ? 'book.heading' : 'book.heading.booked'),
    lead: leadOf(facts, voice),
    notice: came === null ? null : say(noticeOf(came)),
    was: facts.was,
    daysHeading: say(booked === null ? 'book.days' : 'book.move'),
    days: days.slice(0, SHOWN),
    moreWords: say('book.more'),
    more: days.slice(SHOWN),
    cancel: changeable ? { words: say('book.cancel'), sure: say('book.cancel.sure') } : null,
    contact: phone === null ? say(contact) : say(`${contact}.phone`, { phone: unbroken(phone) }),
    sender: [name, ...(postalAddress ?? '').split('\n')].filter((line) => line.trim() !== ''),
  };
  return [{ lang: voice.language, title: say('book.title'), nav: null }, model];
}

function noticeOf(came: Came): string {
  return came === 'gone' || came === 'nothing' ? `book.${came}` : `book.did.${came}`;
}

function dayModel(
  { value, on, dropOffAt, readyAt }: DayFacts,
  zone: string,
  voice: Voice,
): DayModel {
  const from = voice.time(dropOffAt, zone);
  const to = voice.time(readyAt, zone);
  const readyOn = dayIn(zone, readyAt);
  return {
    value,
    day: voice.day(on),
    times:
      readyOn === on
        ? voice.say('book.times', { from, to })
        : voice.say('book.times.later', { from, to, day: voice.day(readyOn) }),
  };
}

function leadOf(facts: BookFacts, voice: Voice): string[] {
  const { organisation, registration: car, booked, days, minutes, timeZone } = facts;
  const { say } = voice;
  // Beside a top that must stay nothing is said that works it.
  const isSaid = facts.mayMove.verdict !== 'leave' || facts.kind === 'repair';
  const work = isSaid ? ` (${speakerOf(voice.language).say(`visit.kind.${facts.kind}`)})` : '';
  const places = { organisation: organisation.name, car: `${car}${work}` };
  if (booked === null) {
    if (days.length === 0) return [say('book.lead.none', { ...places, car })];
    const takes = minutes === null ? [] : [voice.count('book.minutes', minutes)];
    return [[say('book.lead', places), ...takes].join(' ')];
  }
  const { on, dropOffAt, readyAt, changeUntil } = booked;
  const day = voice.day(on);
  const bring =
    dropOffAt === null
      ? []
      : [
          say(facts.mayMove.verdict === 'leave' ? 'book.bring.stay' : 'book.bring', {
            time: voice.time(dropOffAt, timeZone),
          }),
        ];
  return [
    [
      say('book.lead.booked', { ...places, day }),
      ...bring,
      ...readyWords(on, readyAt, timeZone, voice),
    ].join(' '),
    changeUntil === null ? say('book.over') : say('book.until', { day: voice.day(changeUntil) }),
  ];
}

function readyWords(
  on: Day,
  readyAt: Instant | null,
  zone: string,
  { say, ...voice }: Voice,
): string[] {
  if (readyAt === null) return [];
  const time = voice.time(readyAt, zone);
  const readyOn = dayIn(zone, readyAt);
  return readyOn === on
    ? [say('book.ready', { time })]
    : [say('book.ready.later', { time, day: voice.day(readyOn) })];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly book: BookModel;
  }
}
