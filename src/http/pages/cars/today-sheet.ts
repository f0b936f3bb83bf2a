import type { LubricationDue } from '../../../domain/lubrication/due.ts';
import type { Instant } from '../../../domain/calendar/instant.ts';
import { dayIn } from '../../../domain/calendar/zone.ts';
import type { DiaryVisit } from '../../../usecases/bench/diary-visits.ts';
import type { CallRecord } from '../../../usecases/day/read-calls.ts';
import type { FoldedCarRecord, TodayRecord } from '../../../usecases/day/today-page.ts';
import type { StayingRecord } from '../../../usecases/own/read-staying.ts';
import { localeOf } from '../../../views/words/locale.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { clockWords } from '../frame/clock-words.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { shopStay } from '../frame/stay-words.ts';
import { callForm } from '../shop/call-form.ts';
import type { DayLine, DayList, DayState } from '../shop/day-lines.ts';
import { dayLine, dayList, phoneWords, ringDeed, writeDeed } from '../shop/day-lines.ts';
import { newsRow } from './news-words.ts';

/** Who looks at the page, what led to it, and the call whose form came back. */
export interface TodayLooking {
  /** Whether whoever looks may record something. */
  readonly records: boolean;
  readonly done: string | undefined;
  readonly once: string;
  readonly came: { readonly carId: string; readonly sent: Sent } | null;
}

interface FaultyLetter {
  readonly what: string;
  readonly when: string;
  readonly fault: string;
  /** The form that says what is to become of it, where that waits for a word. */
  readonly fate: FormModel | null;
}

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

const EN = localeOf('en-GB');
const LETTER_WORDS: Readonly<Record<string, string>> = {
  planned: 'waiting',
  sending: 'on their way',
  unknown: 'of unknown fate',
  delivered: 'delivered',
  failed: 'not accepted',
  cancelled: 'cancelled before they left',
};

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
export function todaySheet(record: TodayRecord, looking: TodayLooking): [Frame, TodayModel] {
  const { records, once } = looking;
  const { calls, ahead, letters, standing, now, today, organisation } = record;
  const { timeZone } = organisation;
  const stays = new Set(record.staying.map(({ topId }) => topId));
  const voice = voiceFor('en');
  const when = (instant: Instant) => voice.moment(instant, timeZone, now);
  const faults: FaultyLetter[] = [
    ...letters.faults.map(({ id, kind, state, toName, plannedAt, nextTryAt, fault }) => ({
      what: `${plain(kind)} to ${toName}, ${LETTER_WORDS[state] ?? state}`,
      when: when(plannedAt),
      fault,
      fate:
        records && state === 'unknown' && nextTryAt === null
          ? formOf(`/letters/${id}/fate`, once, null, [])
          : null,
    })),
    ...letters.setAside.map(({ name, at, reason }) => ({
      what: `No letters to ${name}: a record cannot be read`,
      when: when(at),
      fault: `${reason}. Look at the owner, the cars and their settings and put right what is odd.`,
      fate: null,
    })),
  ].sort((a, b) => Number(b.fate !== null) - Number(a.fate !== null));
  const model: TodayModel = {
    done: DONE[looking.done ?? ''] ?? '',
    records,
    organisation: organisation.name,
    day: EN.day(today),
    news: dayList(
      record.news
        .map((one) => newsRow(one, timeZone, when(one.at)))
        .map(({ href, registration, words, when: at }) =>
          dayLine({ href, name: registration, words: `${words}, ${at}.` }),
        ),
      SHOWN.news,
    ),
    staying: dayList(
      record.staying.map((car) => stayingLine(car, looking)),
      SHOWN.staying,
    ),
    bench: record.bench.map(({ on, visits }) => ({
      heading: on === today ? 'On the bench today' : `Next, ${EN.day(on)}`,
      list: dayList(
        visits.map((visit) => benchLine(visit, { timeZone, records, day: on, stays })),
        on === today ? SHOWN.today : SHOWN.next,
      ),
    })),
    says: ahead.says,
    calls: calls.items.map((call) => callLine(call, looking)),
    allCalls: EN.number(calls.inAll),
    folded: dayList(
      record.folded.flatMap((car) => foldedLine(car, now)),
      SHOWN.folded,
    ),
    due: dayList(
      record.due.map(({ topId, registration, ownerName, lubrication: due }) =>
        dayLine({
          figure: { words: voiceFor('en').say(`due.${due.state}`), state: STATES[due.state] },
          href: `/tops/${topId}`,
          name: registration,
          words: stays.has(topId)
            ? `${ownerName}. Must not be moved: repair first.`
            : `${ownerName}, due ${EN.day(due.dueOn)}`,
          deed: bookDeed(records && !stays.has(topId), topId, 'lubrication', registration),
        }),
      ),
      SHOWN.due,
    ),
    looks: dayList(
      record.looks.map(({ topId, registration, ownerName, look }) =>
        dayLine({
          figure: { words: voiceFor('en').say(`due.${look.state}`), state: STATES[look.state] },
          href: `/tops/${topId}`,
          name: registration,
          words: stays.has(topId)
            ? `${ownerName}. Must not be moved: repair first.`
            : `${ownerName}, after the visit of ${EN.day(look.since)}, by ${EN.day(look.windowTo)}`,
          deed: bookDeed(records && !stays.has(topId), topId, 'look', registration),
        }),
      ),
      SHOWN.looks,
    ),
    parts: ahead.parts.slice(0, SHOWN.parts).map(partLine),
    allParts: ahead.parts.map((part) => ({
      ...partLine(part),
      small: [`${part.piece}. ${part.because}.`],
    })),
    partsAt: ahead.at === now ? null : EN.time(ahead.at, timeZone),
    letterDays: EN.number(letters.days),
    letters: letters.states
      .map(({ state, n }) => `${EN.number(n)} ${LETTER_WORDS[state] ?? state}`)
      .join(', '),
    faults: { first: faults.slice(0, SHOWN.faults), rest: faults.slice(SHOWN.faults) },
    alerts: standing.alerts.map((alert) => ({ when: when(alert.at), words: alert.words })),
    unreached: standing.items.map(({ ownerId, name, address, words }) => ({
      name,
      address,
      words,
      href: `/owners/${ownerId}`,
    })),
  };
  return [{ lang: 'en', title: 'Today', nav: { here: 'today' } }, model];
}

const DONE: Readonly<Record<string, string>> = {
  'send-again': 'It is sent once more within a minute, if it is still true.',
  arrived: 'Noted that it arrived.',
  call: 'The call is noted; the car comes later in the list for a while.',
  offers: 'The offers are made. Their letters leave in letter hours.',
};

const STATES: Readonly<Record<LubricationDue['state'], DayState>> = {
  ahead: 'plain',
  open: 'open',
  late: 'over',
};

function partLine({ label, order, inHand }: TodayRecord['ahead']['parts'][number]): DayLine {
  return dayLine({
    name: `${EN.number(order)} × ${label}`,
    words: `${EN.number(inHand)} in hand`,
  });
}

function stayingLine(car: StayingRecord, { records, once, came }: TodayLooking): DayLine {
  const { carId, topId, registration, ownerId, ownerName, repairOn, refusesCalls } = car;
  const [why = '', ...others] = new Set(car.mayMove.reasons.map((reason) => reason.words));
  const more = others.length === 0 ? '' : `, and ${others.length} more`;
  const sent = came?.carId === carId ? came.sent : null;
  const waits = repairOn === null;
  const deed = !waits
    ? `Repair booked for ${EN.day(repairOn)}.`
    : refusesCalls
      ? 'Wants no calls: write.'
      : car.phone === null
        ? 'No telephone number: write.'
        : capital(phoneWords(car));
  const unheard = waits && (refusesCalls || ringDeed(car) === null);
  return dayLine({
    href: `/tops/${topId}`,
    name: registration,
    words: `${ownerName}. ${capital(why)}${more}. ${deed}`,
    small: records && waits ? others.map((words) => `${capital(words)}.`) : [],
    // Who cannot be rung is written to first; a day is agreed on when the answer comes.
    deed: unheard
      ? writeDeed(ownerId, ownerName)
      : bookDeed(records && waits, topId, 'repair', registration),
    note: records && waits && !refusesCalls ? callForm(carId, 'today', once, sent) : null,
    noteOpen: sent !== null,
  });
}

function callLine(call: CallRecord, { records, once, came }: TodayLooking): DayLine {
  const sent = came?.carId === call.carId ? came.sent : null;
  const { deed, minutes, causes, lastCall } = call;
  const [worst] = causes;
  return dayLine({
    href: `/tops/${call.topId}`,
    name: call.registration,
    words: `${call.ownerName}, ${phoneWords(call)} ${capital(deed)}, ${minutes} min${worst === undefined ? '' : `: ${worst.words}`}.`,
    small: [
      `${capital(call.reason)}.`,
      ...(lastCall === null
        ? []
        : [`Rung last on ${EN.day(lastCall.on)}: ${plain(lastCall.outcome)}.`]),
    ],
    deed: ringDeed(call),
    note: records ? callForm(call.carId, 'today', once, sent) : null,
    noteOpen: sent !== null,
  });
}

function foldedLine(car: FoldedCarRecord, now: Instant): DayLine[] {
  const seen = { timeZone: car.timeZone, now, restHours: 0 };
  const { left } = clockWords(car.clock, seen, voiceFor('en'));
  if (left === null || left.state === 'within') return [];
  return [
    dayLine({
      figure: { words: left.figure, state: left.state === 'over' ? 'over' : 'near' },
      href: `/cars/${car.carId}`,
      name: car.registration,
      words: `${car.ownerName}, ${phoneWords(car)}`,
      small: shopStay(car.registration, car.clock.mayMove, voiceFor('en')).care,
      deed: ringDeed(car),
    }),
  ];
}

function benchLine(
  visit: DiaryVisit,
  about: { timeZone: string; records: boolean; day: string; stays: ReadonlySet<string> },
): DayLine {
  const { id, top, kind, on, minutes, dropOff = null, readyAt = null } = visit;
  const { timeZone, records, day, stays } = about;
  const { topId, registration, ownerName } = top;
  const readyDay = readyAt === null ? null : dayIn(timeZone, readyAt);
  const ready =
    readyAt === null
      ? null
      : `ready ${readyDay === on ? '' : `${EN.day(readyDay ?? day)}, `}${EN.time(readyAt, timeZone)}`;
  const words = [`${plain(kind)}, ${minutes} min`, ownerName, ...(ready === null ? [] : [ready])];
  return dayLine({
    figure: { words: dropOff ?? 'any time', state: 'plain' },
    href: records ? `/visits/${id}` : `/tops/${topId}`,
    name: registration,
    words: words.join(', '),
    small: [
      ...(on === null || on === day ? [] : [`Booked for ${EN.day(on)}, which is shut.`]),
      ...(stays.has(topId) ? ['Leave the top as it is until it is repaired.'] : []),
    ],
    deed: records
      ? { href: `/tops/${topId}/visit`, words: 'Record', about: `the visit of ${registration}` }
      : null,
  });
}

function bookDeed(
  may: boolean,
  topId: string,
  kind: 'lubrication' | 'look' | 'repair',
  registration: string,
): DayLine['deed'] {
  const about = { lubrication: 'the oiling', look: 'the look', repair: 'the repair' }[kind];
  return may
    ? {
        href: `/tops/${topId}/booking?kind=${kind}`,
        words: 'Book',
        about: `${about} of ${registration}`,
      }
    : null;
}

function capital(words: string): string {
  return words.slice(0, 1).toUpperCase() + words.slice(1);
}

function plain(name: string): string {
  return name.replaceAll('-', ' ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly today: TodayModel;
  }
}
