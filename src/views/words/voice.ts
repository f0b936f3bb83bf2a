import Negotiator from 'negotiator';
import { isDay, type Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { msOf } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { kept } from './kept.ts';
import { type Locale, localeOf } from './locale.ts';
import { type Fillings, fill, phrase, readRooms, type Words } from './words.ts';
import { tellIn } from './told.ts';

const folder = new URL('../../../templates/pages/words/', import.meta.url);
let known: ReadonlyMap<string, Words> | undefined;

/** The words of the pages in every language that `templates/pages/words/` has, read once. */
export function pageWords(): ReadonlyMap<string, Words> {
  known ??= readRooms(folder);
  return known;
}

/** Speaks one language on a page: its words, days, times and spans. */
export interface Voice {
  readonly language: string;
  /** How it writes numbers, lists and days in other ways than below. */
  readonly locale: Locale;
  /** The words under a key with their places filled; refuses a key or place that is missing. */
  readonly say: (key: string, fillings?: Fillings, count?: number) => string;
  /** Whether there are words under a key, for keys made of what records hold. */
  readonly has: (key: string) => boolean;
  /** A phrase with {{count}}, in the form that the number asks for. */
  readonly count: (key: string, count: number, fillings?: Fillings) => string;
  /** A sentence that a rule or a refusal wrote in English, in this language; as it stands where unknown. */
  readonly tell: (sentence: string) => string;
  readonly day: (day: Day) => string;
  /** "08:30", on the clock of the zone. */
  readonly time: (instant: Instant, timeZone: string) => string;
  /** "Monday 18:00" within six days of `now`, else with its date; on the clock of the zone. */
  readonly moment: (instant: Instant, timeZone: string, now: Instant) => string;
  /** "2 days 4 hours": two parts at most, the last rounded down; "under a minute" at the least. */
  readonly span: (ms: number) => string;
}

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;
const NEAR = 6 * DAY;
const voices = new Map<string, Voice>();

/** The voice of a language tag: the tag itself, else its language without country, else English. */
export function voiceFor(tag: string): Voice {
  return kept(voices, tag, () => makeVoice(tag));
}

/** The voice for a browser's Accept-Language: the one it prefers of those that the pages speak. */
export function voiceAsked(header: string | undefined): Voice {
  const headers = { 'accept-language': (header ?? '').slice(0, 200) };
  const tags = new Negotiator({ headers }).languages();
  return voiceFor(tags.find((tag) => languageOf(tag) !== null) ?? 'en');
}

/** The language and the tag to write dates by, or null where the pages do not speak it. */
function languageOf(tag: string): { language: string; tag: string } | null {
  if (!/^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$/.test(tag)) return null;
  const canonical = Intl.getCanonicalLocales(tag)[0] ?? 'en';
  const language = [canonical, canonical.split('-')[0] ?? ''].find((name) => pageWords().has(name));
  return language === undefined ? null : { language, tag: canonical };
}

function makeVoice(asked: string): Voice {
  const { language, tag } = languageOf(asked) ?? { language: 'en', tag: 'en' };
  const words = pageWords().get(language) ?? {};
  const locale = localeOf(tag === 'en' ? 'en-GB' : tag);
  const say = (key: string, fillings: Fillings = {}, count = 1): string =>
    fill(phrase(words, key, locale, count), fillings);
  const count = (key: string, n: number, fillings: Fillings = {}): string =>
    say(key, { count: locale.number(n), ...fillings }, n);
  return {
    language,
    locale,
    say,
    has: (key) => Object.hasOwn(words, key),
    count,
    tell: (sentence) => tellIn(language, locale, sentence),
    day: (day) => {
      if (!isDay(day)) throw new RangeError(`${day} is no day`);
      return locale.day(day);
    },
    time: (instant, timeZone) => locale.time(instant, timeZone),
    moment: (instant, timeZone, now) => {
      const near = Math.abs(msOf(instant) - msOf(now)) < NEAR;
      const today = dayIn(timeZone, instant) === dayIn(timeZone, now);
      const date = near ? {} : ({ day: 'numeric', month: 'long', year: 'numeric' } as const);
      const clock = new Intl.DateTimeFormat(locale.tag, {
        ...(today ? {} : { weekday: 'long' }),
        ...date,
        hour: '2-digit',
        minute: '2-digit',
        timeZone,
      });
      const written = clock.format(new Date(instant));
      return today ? say('moment.today', { time: written }) : written;
    },
    span: (ms) => {
      if (ms < MINUTE) return say('span.moment');
      const days = Math.floor(ms / DAY);
      const hours = Math.floor((ms % DAY) / HOUR);
      const minutes = Math.floor((ms % HOUR) / MINUTE);
      const parts = [
        ...(days > 0 ? [count('span.days', days)] : []),
        ...(hours > 0 ? [count('span.hours', hours)] : []),
        ...(days === 0 && minutes > 0 ? [count('span.minutes', minutes)] : []),
      ];
      return parts.slice(0, 2).join(' ');
    },
  };
}
