import type { Day } from '../../../domain/calendar/day.ts';
import { speakerOf } from '../../../views/letters/sheet.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import { type StayWords, stayWords } from '../../../views/letters/stay.ts';
import type { Frame } from '../frame/frame.ts';
import type { Voice } from '../../../views/words/voice.ts';

/** How the choice of a week stands. */
export interface BookFacts {
  readonly organisation: {
    readonly name: string;
    readonly postalAddress: string | null;
    readonly phone: string | null;
  };
  readonly registration: string;
  readonly mayMove: MayMove;
  readonly bookedOn: Day | null;
  readonly asked: string;
  readonly weeks: readonly string[];
  readonly minutes: number | null;
}

export interface BookModel {
  /** The top must not be moved: said before anything else. */
  readonly stay: StayWords | null;
  readonly heading: string;
  readonly lead: string;
  /** What the last press came to; null where nothing was pressed. */
  readonly notice: string | null;
  readonly weeks: readonly {
    readonly id: string;
    readonly label: string;
    readonly main: boolean;
  }[];
  readonly weeksHeading: string;
  readonly contact: string;
  readonly sender: readonly string[];
}

/**
 * The page behind a link to an offered week: the week to confirm, the others that have room, or the
 * day that is booked. `lost`: the week that was just asked for had no room any more.
 */
export function bookSheet(facts: BookFacts, voice: Voice, lost: boolean): [Frame, BookModel] {
  const { say } = voice;
  const { organisation, bookedOn, asked, weeks } = facts;
  const { name, postalAddress, phone } = organisation;
  const isFree = weeks.includes(asked);
  const ordered = isFree ? [asked, ...weeks.filter((week) => week !== asked)] : weeks;
  const model: BookModel = {
    stay: stayWords(
      [{ registration: facts.registration, ...facts.mayMove }],
      // Weeks come from shops and clubs alone.
      { kind: 'shop', phone: organisation.phone },
      speakerOf(voice.language),
    ),
    heading: say(bookedOn === null ? 'book.heading' : 'book.heading.booked'),
    lead: leadOf(facts, voice),
    notice: weeks.length > 0 && (lost || !isFree) ? say('book.gone') : null,
    weeksHeading: say('book.weeks'),
    weeks: ordered.map((id) => ({
      id,
      label: speakerOf(voice.language).week(id, 'button'),
      main: id === asked,
    })),
    contact: phone === null ? say('book.contact') : say('book.contact.phone', { phone }),
    sender: [name, ...(postalAddress ?? '').split('\n')].filter((line) => line.trim() !== ''),
  };
  return [{ lang: voice.language, title: say('book.title'), nav: null }, model];
}

function leadOf(facts: BookFacts, voice: Voice): string {
  const { organisation, registration: car, bookedOn, weeks, minutes } = facts;
  const places = { organisation: organisation.name, car };
  if (bookedOn !== null) {
    return voice.say('book.lead.booked', { ...places, day: voice.day(bookedOn) });
  }
  if (weeks.length === 0) return voice.say('book.lead.none', places);
  const lead = voice.say('book.lead', places);
  return minutes === null ? lead : `${lead} ${voice.count('book.minutes', minutes)}`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly book: BookModel;
  }
}
