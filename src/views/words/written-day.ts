import { addDays, isDay, type Day } from '../../domain/calendar/day.ts';

/** How one language and country writes days into a field, and reads what people type there. */
export interface DayWriting {
  /** "25 Oct 2026", in German "25.10.2026": short, and the year in full. */
  readonly write: (day: Day) => string;
  /** Another way that is read as well: "25/10/2026", in German "25. Oktober 2026". */
  readonly writeOther: (day: Day) => string;
  /**
   * The day that a text means, null where it means none. It reads `YYYY-MM-DD`, figures in the order of
   * the language (3/4/2026 is 3 April in British English, March 4 in American), and months by name,
   * weekday or none. Of two figures for the year 80 to 99 are 1980 to 1999, all others from 2000 on.
   * Never guesses: figures that are no day in that order are none, and a day without its year is none.
   */
  readonly read: (text: string) => Day | null;
  /**
   * Day and time that a text means, null where it means none: a day as above or a word for it ("today",
   * "yesterday") before a time of day; a time alone is of today.
   */
  readonly readMoment: (text: string, today: Day) => { day: Day; time: string } | null;
}

type Part = 'day' | 'month' | 'year';

const UTC = { timeZone: 'UTC', calendar: 'gregory', numberingSystem: 'latn' } as const;
const CENTURY_TURNS = 80;
const SHORTEST_NAME = 3;
/** What stands between a day and its time and says nothing. */
const BETWEEN = new Set(['at', 'um']);

/** The writing of a language tag. Dear to make: keep what comes. */
export function dayWriting(tag: string): DayWriting {
  const medium = new Intl.DateTimeFormat(tag, { ...UTC, dateStyle: 'medium' });
  const long = new Intl.DateTimeFormat(tag, { ...UTC, dateStyle: 'long' });
  const figures = new Intl.DateTimeFormat(tag, {
    ...UTC,
    day: '2-digit',
    month: '2-digit',
    year: 'numeric',
  });
  const order = figures
    .formatToParts(0)
    .flatMap(({ type }) => (type === 'day' || type === 'month' || type === 'year' ? [type] : []));
  const tags = [tag, tag.split('-')[0] ?? tag, 'en'];
  const months = tags.map(monthNames);
  const weekdays = new Set(tags.flatMap(weekdayNames));
  const near = new Map(tags.toReversed().flatMap(nearWords));
  const write = (day: Day) => medium.format(midnight(day));
  const read = (text: string) => readDay(text, order, months, weekdays);
  return {
    write,
    writeOther: (day) => {
      const other = figures.format(midnight(day));
      return other === write(day) ? long.format(midnight(day)) : other;
    },
    read,
    readMoment: (text, today) => {
      const [, iso = '', clock = ''] = /^(\d{4}-\d{2}-\d{2})T(\d{2}:\d{2})/.exec(text.trim()) ?? [];
      if (iso !== '') return whole(isDay(iso) ? iso : null, readTime(clock));
      const words = plain(text)
        .split(' ')
        .filter((word) => !BETWEEN.has(word));
      for (let at = Math.max(0, words.length - 3); at < words.length; at += 1) {
        const time = readTime(words.slice(at).join(' '));
        const before = words.slice(0, at).join(' ');
        const back = near.get(before);
        const day =
          before === '' ? today : back === undefined ? read(before) : addDays(today, back);
        const found = whole(day, time);
        if (found !== null) return found;
      }
      return null;
    },
  };
}

/**
 * The time of day that a text means, as HH:MM; null where it means none: 9:30, 9.30, 930, 9 am, 18 Uhr,
 * 18 Uhr 30. The clock has 24 hours where nothing else is said.
 */
export function readTime(text: string): string | null {
  const [, whole24 = '', parted = '', minutes = '', half = ''] =
    /^(?:(\d{3,4})|(\d{1,2})(?:(?:[:.h]| ?uhr )(\d{2}))?)(?: ?(am|pm|uhr|h))?$/.exec(
      plain(text).replace(/\b([ap])\.? ?m\b\.?/, '$1m'),
    ) ?? [];
  const hour = Number(whole24 === '' ? parted : whole24.slice(0, -2));
  const minute = whole24 === '' ? minutes : whole24.slice(-2);
  if ((whole24 === '' && parted === '') || Number(minute) > 59) return null;
  const twelve = half === 'am' || half === 'pm';
  if (twelve ? hour < 1 || hour > 12 : hour > 23) return null;
  const of24 = twelve ? (hour % 12) + (half === 'pm' ? 12 : 0) : hour;
  return `${String(of24).padStart(2, '0')}:${minute === '' ? '00' : minute}`;
}

function whole(day: Day | null, time: string | null): { day: Day; time: string } | null {
  return day === null || time === null ? null : { day, time };
}

function readDay(
  text: string,
  order: readonly Part[],
  months: readonly (readonly (readonly string[])[])[],
  weekdays: ReadonlySet<string>,
): Day | null {
  const words = plain(text)
    .split(/[ ./-]+/)
    .filter((word) => word !== '' && !weekdays.has(word));
  if (words.length !== 3) return null;
  const named = words.findIndex((word) => /^\p{L}/u.test(word));
  const parts: Partial<Record<Part, string>> = {};
  if (named === -1) {
    const yearFirst = (words[0] ?? '').length === 4;
    const asked: readonly Part[] = yearFirst ? ['year', 'month', 'day'] : order;
    // Where the language begins with the year, figures that end with it could be either way round.
    if (!yearFirst && order[0] === 'year') return null;
    for (const [i, part] of asked.entries()) parts[part] = words[i] ?? '';
  } else {
    const month = monthOf(words[named] ?? '', months);
    if (month === null) return null;
    const rest = words.filter((_, i) => i !== named);
    const [first = '', second = ''] = rest;
    const [day, year] = first.length === 4 ? [second, first] : [first, second];
    Object.assign(parts, { month, year, day: day.replace(/(?<=\d)(?:st|nd|rd|th)$/, '') });
  }
  const { day = '', month = '', year = '' } = parts;
  if (!/^\d{1,2}$/.test(day) || !/^\d{1,2}$/.test(month)) return null;
  if (!/^(?:\d{2}|\d{4})$/.test(year)) return null;
  const iso = `${fullYear(year)}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`;
  return isDay(iso) ? iso : null;
}

function fullYear(year: string): string {
  if (year.length === 4) return year;
  return `${Number(year) < CENTURY_TURNS ? '20' : '19'}${year}`;
}

/** The month that a word begins, in the first language in which it begins one alone. */
function monthOf(
  word: string,
  languages: readonly (readonly (readonly string[])[])[],
): string | null {
  if (word.length < SHORTEST_NAME) return null;
  for (const names of languages) {
    const meant = names.flatMap((ways, i) =>
      ways.some((name) => name.startsWith(word)) ? [i + 1] : [],
    );
    if (meant.length === 1) return String(meant[0]);
  }
  return null;
}

/** Small letters without accents, points behind names and doubled blanks. */
function plain(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll(',', ' ')
    .replace(/(?<=\p{L})\.(?=\s|$)/gu, ' ')
    .replace(/\s+/g, ' ')
    .trim();
}

function monthNames(tag: string): string[][] {
  const ways = (['long', 'short'] as const).map(
    (month) => new Intl.DateTimeFormat(tag, { ...UTC, month, day: 'numeric' }),
  );
  return Array.from({ length: 12 }, (_, i) =>
    ways.map((way) => partOf(way, Date.UTC(2024, i, 15), 'month')),
  );
}

function weekdayNames(tag: string): string[] {
  const ways = (['long', 'short'] as const).map(
    (weekday) => new Intl.DateTimeFormat(tag, { ...UTC, weekday }),
  );
  return Array.from({ length: 7 }, (_, i) =>
    ways.map((way) => partOf(way, Date.UTC(2024, 0, 1 + i), 'weekday')),
  ).flat();
}

function partOf(format: Intl.DateTimeFormat, ms: number, part: string): string {
  const found = format.formatToParts(ms).find(({ type }) => type === part);
  return plain(found?.value ?? '').replaceAll('.', '');
}

function nearWords(tag: string): [string, number][] {
  const format = new Intl.RelativeTimeFormat(tag, { numeric: 'auto' });
  return [0, -1, -2].map((back): [string, number] => [plain(format.format(back, 'day')), back]);
}

function midnight(day: Day): Date {
  if (!isDay(day)) throw new RangeError(`${day} is no day`);
  return new Date(`${day}T00:00:00Z`);
}
