import type { Instant } from '../../../domain/calendar/instant.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import { dayIn } from '../../../domain/calendar/zone.ts';
import type { DiaryVisit } from '../../../usecases/bench/diary-visits.ts';
import type { CallRecord } from '../../../usecases/day/read-calls.ts';
import type { FoldedCarRecord, TodayRecord } from '../../../usecases/day/today-page.ts';
import type { StayingRecord } from '../../../usecases/own/read-staying.ts';
import { reasonInWords } from '../../../views/letters/stay.ts';
import { speakerOf } from '../../../views/letters/sheet.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { clockWords } from '../frame/clock-words.ts';
import type { Sent } from '../frame/form.ts';
import { shopStay } from '../frame/stay-words.ts';
import { callForm, lastCallInWords } from '../shop/call-form.ts';
import type { DayLine } from '../shop/day-lines.ts';
import { capital, dayLine, phoneWords, ringDeed, writeDeed } from '../shop/day-lines.ts';

/** Who looks at the page, what led to it, and the call whose form came back. */
export interface TodayView {
  /** Whether whoever looks may record something. */
  readonly records: boolean;
  readonly done: string | undefined;
  readonly once: string;
  readonly came: { readonly carId: string; readonly sent: Sent } | null;
}

/** What all lines of the day go by. */
export interface TodayAbout {
  readonly timeZone: string;
  readonly records: boolean;
  /** Tops that must not be moved. */
  readonly stays: ReadonlySet<string>;
}

/** A part to order. */
export function partLine(
  { label, order, inHand }: TodayRecord['ahead']['parts'][number],
  { say, tell, locale }: Voice,
): DayLine {
  return dayLine({
    name: say('today.order.name', { count: locale.number(order), part: tell(label) }),
    words: say('today.order.in-hand', { count: locale.number(inHand) }),
  });
}

/** A car whose top must not be moved. */
export function stayingLine(
  car: StayingRecord,
  { records, once, came }: TodayView,
  voice: Voice,
): DayLine {
  const { say } = voice;
  const { carId, topId, registration, ownerId, ownerName, repairOn, refusesCalls } = car;
  const speaker = speakerOf(voice.language);
  const [why = '', ...others] = new Set(
    car.mayMove.reasons.map((reason) => reasonInWords(reason, speaker)),
  );
  const sent = came?.carId === carId ? came.sent : null;
  const waits = repairOn === null;
  const deed = !waits
    ? say('today.stay.booked', { day: voice.day(repairOn) })
    : refusesCalls
      ? say('today.stay.no-calls')
      : car.phone === null
        ? say('today.stay.no-phone')
        : capital(phoneWords(voice, car));
  const unheard = waits && (refusesCalls || ringDeed(voice, car) === null);
  const more =
    others.length === 0 ? '' : say('today.stay.others', { count: String(others.length) });
  const book = records && waits ? bookDeed(topId, 'repair', registration, voice) : null;
  return dayLine({
    href: `/tops/${topId}`,
    name: registration,
    words: say('today.stay.line', { owner: ownerName, why: capital(why), more, deed }),
    small: records && waits ? others.map((words) => `${capital(words)}.`) : [],
    // Who cannot be rung is written to first; a day is agreed on when the answer comes.
    deed: unheard ? writeDeed(voice, ownerId, ownerName) : book,
    note: records && waits && !refusesCalls ? callForm(carId, 'today', once, sent, voice) : null,
    noteOpen: sent !== null,
  });
}

/** A car whose owner is worth a call. */
export function callLine(
  call: CallRecord,
  { records, once, came }: TodayView,
  voice: Voice,
): DayLine {
  const sent = came?.carId === call.carId ? came.sent : null;
  const [worst] = call.causes;
  const fills = {
    owner: call.ownerName,
    phone: phoneWords(voice, call),
    deed: capital(voice.tell(call.deed)),
    minutes: voice.locale.number(call.minutes),
  };
  return dayLine({
    href: `/tops/${call.topId}`,
    name: call.registration,
    words:
      worst === undefined
        ? voice.say('today.ring.line', fills)
        : voice.say('today.ring.line.cause', { ...fills, cause: voice.tell(worst.words) }),
    small: [`${capital(voice.tell(call.reason))}.`, ...lastCallInWords(voice, call.lastCall)],
    deed: ringDeed(voice, call),
    note: records ? callForm(call.carId, 'today', once, sent, voice) : null,
    noteOpen: sent !== null,
  });
}

/** A car near its folded limit or past it; nothing for others. */
export function foldedLine(car: FoldedCarRecord, now: Instant, voice: Voice): DayLine[] {
  const seen = { timeZone: car.timeZone, now, restHours: 0 };
  const { left } = clockWords(car.clock, seen, voice);
  if (left === null || left.state === 'within') return [];
  return [
    dayLine({
      figure: { words: left.figure ?? left.word, state: left.state === 'over' ? 'over' : 'near' },
      href: `/cars/${car.carId}`,
      name: car.registration,
      words: voice.say('today.folded.line', {
        owner: car.ownerName,
        phone: phoneWords(voice, car),
      }),
      small: shopStay(car.registration, car.clock.mayMove, voice).care,
      deed: ringDeed(voice, car),
    }),
  ];
}

/** A visit on the bench of a day. */
export function benchLine(
  visit: DiaryVisit,
  day: Day,
  { timeZone, records, stays }: TodayAbout,
  voice: Voice,
): DayLine {
  const { say } = voice;
  const { id, top, kind, on, minutes, dropOff = null, readyAt = null } = visit;
  const { topId, registration, ownerName } = top;
  const readyDay = readyAt === null ? null : dayIn(timeZone, readyAt);
  const time = readyAt === null ? '' : voice.time(readyAt, timeZone);
  const ready =
    readyDay === null
      ? []
      : readyDay === on
        ? [say('today.bench.ready', { time })]
        : [say('today.bench.ready.later', { day: voice.day(readyDay), time })];
  const work = say('today.bench.minutes', {
    kind: say(`visit-kind.${kind}`),
    minutes: voice.locale.number(minutes),
  });
  return dayLine({
    figure: { words: dropOff ?? say('today.bench.any-time'), state: 'plain' },
    href: records ? `/visits/${id}` : `/tops/${topId}`,
    name: registration,
    words: [work, ownerName, ...ready].join(', '),
    small: [
      ...(on === null || on === day ? [] : [say('today.bench.shut', { day: voice.day(on) })]),
      ...(stays.has(topId) ? [say('today.stay.leave')] : []),
    ],
    deed: records
      ? {
          href: `/visits/${id}/done`,
          words: say('today.record'),
          about: say('today.record.of', { registration }),
        }
      : null,
  });
}

/** Where a visit of a kind is booked. */
export function bookDeed(
  topId: string,
  kind: 'lubrication' | 'look' | 'repair',
  registration: string,
  { say }: Voice,
): NonNullable<DayLine['deed']> {
  return {
    href: `/tops/${topId}/booking?kind=${kind}`,
    words: say('today.book'),
    about: say(`today.book.${kind}`, { registration }),
  };
}
