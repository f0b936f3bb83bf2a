import type { Instant } from '../../../domain/calendar/instant.ts';
import { msOf } from '../../../domain/calendar/instant.ts';
import { dayIn } from '../../../domain/calendar/zone.ts';
import type { FoldedClock } from '../../../domain/folding/clock.ts';
import type { Position } from '../../../domain/folding/position-log.ts';
import type { Voice } from '../../../views/words/voice.ts';

/** Where a top is and how long is left, in words and as a bar. */
export interface ClockWords {
  readonly picture: Position | 'unknown';
  readonly position: string;
  readonly since: string | null;
  readonly left: {
    readonly state: 'within' | 'nearing' | 'over';
    readonly word: string;
    /** Null, as the bar, where the time before the car was its reader's is not told. */
    readonly figure: string | null;
    readonly until: string;
    readonly bar: {
      readonly words: string;
      /** 0 to 100: how much of the time allowed is used; 100 from the limit on. */
      readonly used: number;
    } | null;
  } | null;
  readonly note: string | null;
}

interface Seen {
  readonly timeZone: string;
  readonly now: Instant;
  /** Hours raised that end a folded stretch. */
  readonly restHours: number;
  /** When the reader got the car: nothing is told of the time before. */
  readonly readsFrom?: Instant | null;
}

const HOUR = 3_600_000;

/** What the folded clock of a car says, in the words of a voice. */
export function clockWords(clock: FoldedClock, seen: Seen, voice: Voice): ClockWords {
  const { position, since } = clock;
  return {
    picture: position ?? 'unknown',
    position: voice.say(`where.${position ?? 'unknown'}`),
    since: since === null ? null : sinceWords(since, seen, voice),
    left: leftOf(clock, seen, voice),
    note: noteOf(clock, seen, voice),
  };
}

function sinceWords(
  since: Instant,
  { timeZone, now, readsFrom = null }: Seen,
  voice: Voice,
): string {
  return readsFrom !== null && since < readsFrom
    ? voice.say('since.before', { day: voice.day(dayIn(timeZone, readsFrom)) })
    : voice.say('since', { when: voice.moment(since, timeZone, now) });
}

function leftOf(
  { position, stretch }: FoldedClock,
  { timeZone, now, readsFrom = null }: Seen,
  voice: Voice,
): ClockWords['left'] {
  if (stretch === null) return null;
  // Once it is up the deed is done; what is left to do, keep it up, stands in the note.
  if (position === 'raised' && stretch.state !== 'within') return null;
  const { startedAt, overAt, state } = stretch;
  // It was put up: what was over is over, and the note says from when the count begins anew.
  if (state === 'over' && position === 'raised') return null;
  if (readsFrom !== null && startedAt < readsFrom) {
    // Each of its figures would tell when the former owner folded it.
    const word = voice.say(`left.state.${state}`);
    const until = voice.say('left.before', { day: voice.day(dayIn(timeZone, readsFrom)) });
    return { state, word, figure: null, until, bar: null };
  }
  const left = msOf(overAt) - msOf(now);
  const whole = Math.max(1, msOf(overAt) - msOf(startedAt));
  const over = state === 'over';
  const figure = voice.say(over ? 'left.over' : 'left.within', {
    span: voice.span(Math.abs(left)),
  });
  return {
    state,
    word: voice.say(`left.state.${state}`),
    figure,
    until: voice.say(over ? 'left.since' : 'left.until', {
      // A weekday alone would not say which one is past.
      when: over ? voice.locale.instant(overAt, timeZone) : voice.moment(overAt, timeZone, now),
    }),
    bar: {
      words: voice.say('left.bar', { days: voice.count('span.days', stretch.limitDays), figure }),
      used: over ? 100 : Math.round((100 * (whole - left)) / whole),
    },
  };
}

function noteOf(
  clock: FoldedClock,
  { now, timeZone, restHours }: Seen,
  voice: Voice,
): string | null {
  const { position, since, stretch, restsFrom } = clock;
  if (position === null) return voice.say('note.unknown');
  if (position === 'folded-under-hard-top') return voice.say('note.hard-top');
  if (restsFrom !== undefined) {
    return voice.say('note.drying', {
      when: voice.moment(restsFrom, timeZone, now),
      hours: voice.count('span.hours', restHours),
    });
  }
  if (position === 'raised' && stretch !== null && since !== null) {
    const rested = msOf(now) - msOf(since);
    return voice.say('note.resting', {
      hours: voice.count('span.hours', restHours),
      span: voice.span(Math.max(0, restHours * HOUR - rested)),
    });
  }
  if (position === 'raised') return voice.say('note.raised');
  return voice.say(stretch?.state === 'over' ? 'note.over' : 'note.folded');
}
