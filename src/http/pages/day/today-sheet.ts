import type { TodayRecord } from '../../../usecases/day/today-page.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import type { DayLine, DayList } from '../shop/day-lines.ts';
import { dayList } from '../shop/day-lines.ts';
import { newsLine } from './news-words.ts';
import { dueLine, lookLine } from './today-due.ts';
import { type FaultyLetter, faultyLetters, lettersInWords } from './today-letters.ts';
import {
  benchLine,
  callLine,
  foldedLine,
  partLine,
  stayingLine,
  type TodayView,
} from './today-lines.ts';

export interface TodayModel {
  /** What was just recorded; empty where nothing was. */
  readonly done: string;
  readonly records: boolean;
  readonly organisation: string;
  readonly day: string;
  /** What owners did by their links. */
  readonly news: DayList;
  readonly staying: DayList;
  /** Today, then the next day that is open. */
  readonly bench: readonly { readonly heading: string; readonly list: DayList }[];
  /** Whether to ask whoever may say it for the place whose holidays are not to be offered. */
  readonly lacksPlace: boolean;
  readonly says: readonly string[];
  readonly calls: readonly DayLine[];
  /** How many are worth a call. */
  readonly allCalls: string;
  readonly folded: DayList;
  readonly due: DayList;
  readonly looks: DayList;
  readonly parts: readonly DayLine[];
  /** All of them with what one piece is, and why so many. */
  readonly allParts: readonly DayLine[];
  /** When the parts were reckoned, where that was not just now. */
  readonly partsAt: string | null;
  readonly letterDays: string;
  /** How many letters stand how; empty where none were written. */
  readonly letters: string;
  readonly faults: {
    readonly first: readonly FaultyLetter[];
    readonly rest: readonly FaultyLetter[];
  };
  readonly alerts: readonly { readonly when: string; readonly words: string }[];
  readonly unreached: readonly {
    readonly href: string;
    readonly name: string;
    readonly address: string;
    readonly words: string;
  }[];
}

// What fits on one screen of a desk and three of a telephone.
const SHOWN = {
  staying: 3,
  today: 3,
  next: 2,
  folded: 2,
  due: 3,
  looks: 1,
  parts: 3,
  faults: 1,
  news: 1,
};

/** The shop's morning page. */
export function todaySheet(
  record: TodayRecord,
  view: TodayView,
  voice: Voice,
): [Frame, TodayModel] {
  const { say, locale } = voice;
  const { records, done = '' } = view;
  const { ahead, letters, standing, now, today, organisation } = record;
  const { timeZone } = organisation;
  const about = { timeZone, records, stays: new Set(record.staying.map(({ topId }) => topId)) };
  const lines = <One>(all: readonly One[], line: (one: One) => DayLine[], shown: number) =>
    dayList(all.flatMap(line), shown);
  const faults = faultyLetters(record, view, voice);
  const model: TodayModel = {
    done: DONE.includes(done) ? say(`today.done.${done}`) : '',
    records,
    organisation: organisation.name,
    day: voice.day(today),
    news: lines(record.news, (one) => [newsLine(one, { timeZone, now }, voice)], SHOWN.news),
    staying: lines(record.staying, (car) => [stayingLine(car, view, voice)], SHOWN.staying),
    bench: record.bench.map(({ on, visits }) => ({
      heading:
        on === today ? say('today.bench.today') : say('today.bench.next', { day: voice.day(on) }),
      list: lines(
        visits,
        (visit) => [benchLine(visit, on, about, voice)],
        on === today ? SHOWN.today : SHOWN.next,
      ),
    })),
    lacksPlace: records && record.lacksPlace,
    says: ahead.says.map(voice.tell),
    calls: record.calls.items.map((call) => callLine(call, view, voice)),
    allCalls: locale.number(record.calls.inAll),
    folded: lines(record.folded, (car) => foldedLine(car, now, voice), SHOWN.folded),
    due: lines(record.due, (top) => [dueLine(top, about, voice)], SHOWN.due),
    looks: lines(record.looks, (top) => [lookLine(top, about, voice)], SHOWN.looks),
    parts: ahead.parts.slice(0, SHOWN.parts).map((part) => partLine(part, voice)),
    allParts: ahead.parts.map((part) => ({
      ...partLine(part, voice),
      small: [
        say('today.order.because', {
          piece: voice.tell(part.piece),
          because: voice.tell(part.because),
        }),
      ],
    })),
    partsAt: ahead.at === now ? null : voice.time(ahead.at, timeZone),
    letterDays: locale.number(letters.days),
    letters: lettersInWords(letters.states, voice),
    faults: { first: faults.slice(0, SHOWN.faults), rest: faults.slice(SHOWN.faults) },
    alerts: standing.alerts.map((alert) => ({
      when: voice.moment(alert.at, timeZone, now),
      words: voice.tell(alert.words),
    })),
    unreached: standing.items.map(({ ownerId, name, address, words }) => ({
      name,
      address,
      words: voice.tell(words),
      href: `/owners/${ownerId}`,
    })),
  };
  return [{ lang: voice.language, title: say('today.title'), nav: { here: 'today' } }, model];
}

const DONE: readonly string[] = ['send-again', 'arrived', 'call', 'offers'];

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly today: TodayModel;
  }
}
