import { addDays, isDay, type Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { mondayOfIsoWeek } from '../../domain/calendar/week.ts';
import { kept } from './kept.ts';
import { type DayWriting, dayWriting } from './written-day.ts';

/** How one language and country writes days, times, numbers and lists. */
export interface Locale {
  readonly tag: string;
  /** "Thursday 26 November 2026" */
  readonly day: (day: Day) => string;
  /** "26 November 2026": in a sentence that tells of many days. */
  readonly plainDay: (day: Day) => string;
  /** "Thu 26 Nov": where the year goes without saying. */
  readonly shortDay: (day: Day) => string;
  /** "26/11/2026": where columns are narrow. */
  readonly numericDay: (day: Day) => string;
  /** How days are written into fields, and read there. */
  readonly fields: () => DayWriting;
  /** "November 2026" */
  readonly month: (day: Day) => string;
  /** "Nov" */
  readonly shortMonth: (day: Day) => string;
  /** "Thursday 26 November 2026 at 14:30", on the clock of the zone. */
  readonly instant: (instant: Instant, timeZone: string) => string;
  /** "08:30", on the clock of the zone. */
  readonly time: (instant: Instant, timeZone: string) => string;
  /** "8–14 March 2027" */
  readonly span: (from: Day, to: Day) => string;
  /** "8–14 Mar": where the year goes without saying. */
  readonly shortSpan: (from: Day, to: Day) => string;
  /** The {@link span} from Monday to Sunday of an ISO week such as '2027-W10'. */
  readonly week: (id: string) => string;
  readonly number: (value: number) => string;
  /** "0.25": with two digits behind the point, as a gauge is read. */
  readonly hundredths: (value: number) => string;
  /** "12.5 %", of a share from 0 to 1, rounded to a tenth of a percent. */
  readonly percent: (share: number) => string;
  /** "A, B and C" */
  readonly list: (items: readonly string[]) => string;
  readonly plural: (count: number) => Intl.LDMLPluralRule;
}

const known = new Map<string, Locale>();

/** The locale of a language tag. Formatters are dear to make, so each is made once, when it is asked for. */
export function localeOf(tag: string): Locale {
  return kept(known, tag, () => makeLocale(tag));
}

function makeLocale(tag: string): Locale {
  const style = { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric' } as const;
  const dated = { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' } as const;
  const days = made(() => new Intl.DateTimeFormat(tag, { ...style, timeZone: 'UTC' }));
  const spans = made(() => new Intl.DateTimeFormat(tag, dated));
  const months = made(
    () => new Intl.DateTimeFormat(tag, { month: 'long', year: 'numeric', timeZone: 'UTC' }),
  );
  const numbers = made(() => new Intl.NumberFormat(tag));
  const lists = made(() => new Intl.ListFormat(tag, { type: 'conjunction' }));
  const plurals = made(() => new Intl.PluralRules(tag));
  const shortStyle = { day: 'numeric', month: 'short', timeZone: 'UTC' } as const;
  const shortDays = made(() => new Intl.DateTimeFormat(tag, { weekday: 'short', ...shortStyle }));
  const numericDays = made(
    () =>
      new Intl.DateTimeFormat(tag, {
        day: '2-digit',
        month: '2-digit',
        year: 'numeric',
        timeZone: 'UTC',
      }),
  );
  const shortSpans = made(() => new Intl.DateTimeFormat(tag, shortStyle));
  const shortMonths = made(() => new Intl.DateTimeFormat(tag, { month: 'short', timeZone: 'UTC' }));
  const gauges = made(
    () => new Intl.NumberFormat(tag, { minimumFractionDigits: 2, maximumFractionDigits: 2 }),
  );
  const percents = made(() => new Intl.NumberFormat(tag, { maximumFractionDigits: 1 }));
  const fields = made(() => dayWriting(tag));
  const written = new Map<string, string>();
  const forms = new Map<string, Intl.LDMLPluralRule>();
  const span = (from: Day, to: Day): string =>
    kept(written, `${from}/${to}`, () => spans().formatRange(midnight(from), midnight(to)));
  const clocks = new Map<string, Intl.DateTimeFormat>();
  const clockOf = (timeZone: string): Intl.DateTimeFormat =>
    kept(clocks, timeZone, () => {
      const time = { hour: '2-digit', minute: '2-digit', timeZone } as const;
      return new Intl.DateTimeFormat(tag, { ...style, ...time });
    });
  const times = new Map<string, Intl.DateTimeFormat>();
  const timeOf = (timeZone: string): Intl.DateTimeFormat =>
    kept(
      times,
      timeZone,
      () => new Intl.DateTimeFormat(tag, { hour: '2-digit', minute: '2-digit', timeZone }),
    );
  return {
    tag,
    fields,
    day: (day) => kept(written, day, () => days().format(midnight(day))),
    plainDay: (day) => kept(written, `plain ${day}`, () => spans().format(midnight(day))),
    shortDay: (day) => kept(written, `short ${day}`, () => shortDays().format(midnight(day))),
    numericDay: (day) => kept(written, `numeric ${day}`, () => numericDays().format(midnight(day))),
    shortMonth: (day) => shortMonths().format(midnight(day)),
    month: (day) => kept(written, day.slice(0, 7), () => months().format(midnight(day))),
    instant: (instant, timeZone) => clockOf(timeZone).format(new Date(instant)),
    time: (instant, timeZone) => timeOf(timeZone).format(new Date(instant)),
    span,
    shortSpan: (from, to) =>
      kept(written, `short ${from}/${to}`, () =>
        shortSpans().formatRange(midnight(from), midnight(to)),
      ),
    week: (id) => {
      const monday = mondayOfIsoWeek(id);
      return span(monday, addDays(monday, 6));
    },
    number: (value) => kept(written, String(value), () => numbers().format(value)),
    hundredths: (value) => gauges().format(value),
    percent: (share) => `${percents().format(Math.round(share * 1000) / 10)} %`,
    list: (items) => (items.length === 1 ? (items[0] ?? '') : lists().format(items)),
    plural: (count) => kept(forms, String(count), () => plurals().select(count)),
  };
}

function made<T>(make: () => T): () => T {
  let one: T | undefined;
  return () => (one ??= make());
}

function midnight(day: Day): Date {
  if (!isDay(day)) throw new RangeError(`${day} is no day`);
  return new Date(`${day}T00:00:00Z`);
}
