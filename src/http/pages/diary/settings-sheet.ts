import type { Day } from '../../../domain/calendar/day.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FieldModel, FormModel, Sent, TickModel } from '../frame/form.ts';
import { choice, field, formOf, tick, typedIn } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

type Names = readonly (readonly [code: string, name: string])[];

export interface DiarySettingsFacts {
  readonly weekdays: readonly number[];
  readonly hours: Readonly<Record<string, { readonly from: string; readonly to: string }>>;
  readonly closures: readonly { readonly from: Day; readonly to: Day; readonly words: string }[];
  readonly place: {
    readonly country: string;
    readonly state: string | null;
    readonly region: string | null;
  } | null;
  readonly holidays: readonly { readonly on: Day; readonly words: string }[];
  readonly takesBookings: boolean;
  readonly shopRules: readonly {
    readonly name: string;
    readonly value: number;
    readonly usual: number;
    readonly unit: string;
    readonly source: string;
  }[];
  readonly version: number;
  readonly places: { readonly countries: Names; readonly states: Names; readonly regions: Names };
  /** What was just kept. */
  readonly done: boolean;
}

export interface DiarySettingsModel {
  readonly done: string;
  readonly form: FormModel;
  readonly version: string;
  readonly days: readonly {
    readonly name: string;
    readonly open: TickModel;
    readonly from: FieldModel;
    readonly to: FieldModel;
  }[];
  readonly bookings: TickModel;
  readonly place: readonly FieldModel[];
  readonly holidays: readonly string[];
  readonly closures: readonly {
    readonly from: FieldModel;
    readonly to: FieldModel;
    readonly words: FieldModel;
  }[];
  readonly rules: readonly FieldModel[];
}

const EN = localeOf('en-GB');
const WEEK = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'];
/** Empty rows below the closures that stand. */
const MORE_CLOSURES = 3;
export const MOST_CLOSURES = 60;

const RULE_LABELS: Readonly<Record<string, string>> = {
  minutesPerDay: 'Minutes of bench on an open day',
  slackSummerPct: 'Per cent kept free, May to August',
  slackElsePct: 'Per cent kept free, September to April',
  leadDays: 'Working days between choosing and coming',
  changeDays: 'Working days before a visit until which its owner may change it',
};

/** When the shop is open, whose holidays it keeps, when it stays shut, and what owners may choose. */
export function diarySettingsSheet(
  facts: DiarySettingsFacts,
  once: string,
  sent: Sent | null,
): [Frame, DiarySettingsModel] {
  const days = WEEK.map((name, i) => dayRow(facts, sent, name, String(i + 1)));
  const closures = closureRows(facts, sent);
  const place = placeFields(facts, sent);
  const rules = facts.shopRules.map(({ name, value, usual, source }) =>
    field(sent, `shopRules/${name}`, RULE_LABELS[name] ?? name, {
      mode: 'decimal',
      value,
      hint: `Usual: ${usual}. Shop rule: ${source}.`,
    }),
  );
  const fields = [
    ...days.flatMap(({ from, to }) => [from, to]),
    ...closures.flatMap(({ from, to, words }) => [from, to, words]),
    ...place,
    ...rules,
  ];
  const model: DiarySettingsModel = {
    done: facts.done ? 'Kept. What is booked stays where it is.' : '',
    form: formOf('/diary/settings', once, sent, fields),
    version: String(facts.version),
    days,
    bookings: tick(
      sent,
      'takesBookings',
      'Owners may choose days by the links in their letters',
      facts.takesBookings,
    ),
    place,
    holidays: facts.holidays.map(({ on, words }) => `${EN.day(on)}: ${words}`),
    closures,
    rules,
  };
  return [{ lang: 'en', title: 'Opening days and holidays', nav: { here: 'today' } }, model];
}

function dayRow(facts: DiarySettingsFacts, sent: Sent | null, name: string, weekday: string) {
  const { from = '', to = '' } = facts.hours[weekday] ?? {};
  const time = (end: 'from' | 'to', label: string, value: string) => ({
    ...field(sent, `hours/${weekday}/${end}`, label, { type: 'time', value }),
    called: `${name}, ${label.toLowerCase()}`,
  });
  return {
    name,
    open: tick(sent, `open/${weekday}`, name, facts.weekdays.includes(Number(weekday))),
    from: time('from', 'Opens', from),
    to: time('to', 'Closes', to),
  };
}

function closureRows({ closures }: DiarySettingsFacts, sent: Sent | null) {
  const typed = sent === null ? 0 : MOST_CLOSURES;
  const count = Math.min(MOST_CLOSURES, closures.length + MORE_CLOSURES);
  return Array.from({ length: Math.max(count, typed) }, (_, i) => {
    const at = (part: string) => `closures/${i}/${part}`;
    const stands = closures[i];
    const called = (label: string) => ({ called: `Closure ${i + 1}, ${label}` });
    return {
      from: {
        ...field(sent, at('from'), 'From', { type: 'date', value: stands?.from }),
        ...called('from'),
      },
      to: { ...field(sent, at('to'), 'To', { type: 'date', value: stands?.to }), ...called('to') },
      words: { ...field(sent, at('words'), 'Why', { value: stands?.words }), ...called('why') },
    };
  }).filter(
    (row, i) => i < count || [row.from, row.to, row.words].some(({ value }) => value !== ''),
  );
}

function placeFields({ place, places }: DiarySettingsFacts, sent: Sent | null): FieldModel[] {
  const none = ['', 'none'] as const;
  const { countries, states, regions } = places;
  const country = typedIn(sent, 'place/country') ?? place?.country ?? '';
  return [
    choice(sent, 'place/country', 'Country', [none, ...countries], { value: place?.country }),
    ...(country === '' || states.length === 0
      ? []
      : [choice(sent, 'place/state', 'State or part', [none, ...states], { value: place?.state })]),
    ...(regions.length === 0
      ? []
      : [choice(sent, 'place/region', 'Region', [none, ...regions], { value: place?.region })]),
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'diary-settings': DiarySettingsModel;
  }
}
