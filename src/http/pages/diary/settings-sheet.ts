import type { Day } from '../../../domain/calendar/day.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { clockField, dayExamples, dayField } from '../frame/day-fields.ts';
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
  /** What follows from no place being told; empty where one is. */
  readonly unplaced: string;
  readonly holidays: readonly string[];
  readonly closures: readonly {
    readonly from: FieldModel;
    readonly to: FieldModel;
    readonly words: FieldModel;
  }[];
  readonly rules: readonly FieldModel[];
  /** How a day is written in the rows of closures. */
  readonly dayHint: string;
}

const WEEK = ['1', '2', '3', '4', '5', '6', '7'];
/** Empty rows below the closures that stand. */
const MORE_CLOSURES = 3;
export const MOST_CLOSURES = 60;

/** When the shop is open, whose holidays it keeps, when it stays shut, and what owners may choose. */
export function diarySettingsSheet(
  facts: DiarySettingsFacts,
  once: string,
  sent: Sent | null,
  voice: Voice,
): [Frame, DiarySettingsModel] {
  const { say, tell, day, locale } = voice;
  const days = WEEK.map((weekday) => dayRow(facts, sent, weekday, voice));
  const closures = closureRows(facts, sent, voice);
  const place = placeFields(facts, sent, voice);
  const rules = facts.shopRules.map(({ name, value, usual, source }) =>
    field(sent, `shopRules/${name}`, say(`opening.rule.${name}`), {
      mode: 'decimal',
      value,
      hint: say('opening.usual', { usual: locale.number(usual), source: tell(source) }),
    }),
  );
  const fields = [
    ...days.flatMap(({ from, to }) => [from, to]),
    ...closures.flatMap(({ from, to, words }) => [from, to, words]),
    ...place,
    ...rules,
  ];
  const model: DiarySettingsModel = {
    done: facts.done ? say('opening.done') : '',
    form: formOf('/diary/settings', once, sent, fields),
    version: String(facts.version),
    days,
    bookings: tick(sent, 'takesBookings', say('opening.bookings'), facts.takesBookings),
    place,
    unplaced: facts.place === null ? voice.say('opening.holidays.unplaced') : '',
    holidays: facts.holidays.map(({ on, words }) => `${day(on)}: ${words}`),
    closures,
    rules,
    dayHint: say('form.day.hint', dayExamples(voice)),
  };
  return [{ lang: voice.language, title: say('opening.title'), nav: { here: 'today' } }, model];
}

function dayRow(facts: DiarySettingsFacts, sent: Sent | null, weekday: string, { say }: Voice) {
  const name = say(`opening.day.${weekday}`);
  const { from = '', to = '' } = facts.hours[weekday] ?? {};
  const time = (end: 'from' | 'to', value: string) => ({
    ...clockField(sent, `hours/${weekday}/${end}`, say(`opening.hours.${end}`), { value }),
    called: say(`opening.called.${end}`, { day: name }),
  });
  return {
    name,
    open: tick(sent, `open/${weekday}`, name, facts.weekdays.includes(Number(weekday))),
    from: time('from', from),
    to: time('to', to),
  };
}

function closureRows({ closures }: DiarySettingsFacts, sent: Sent | null, voice: Voice) {
  const { say } = voice;
  const typed = sent === null ? 0 : MOST_CLOSURES;
  const count = Math.min(MOST_CLOSURES, closures.length + MORE_CLOSURES);
  return Array.from({ length: Math.max(count, typed) }, (_, i) => {
    const at = (part: string) => `closures/${i}/${part}`;
    const stands = closures[i];
    const named = (part: 'from' | 'to' | 'words', made: FieldModel) => ({
      ...made,
      called: say(`opening.closure.${part}.called`, { n: String(i + 1) }),
    });
    // How a day is written stands once above the rows.
    const end = (part: 'from' | 'to') =>
      named(
        part,
        dayField(sent, at(part), say(`opening.closure.${part}`), voice, {
          value: stands?.[part],
          hint: '',
        }),
      );
    return {
      from: end('from'),
      to: end('to'),
      words: named(
        'words',
        field(sent, at('words'), say('opening.closure.words'), { value: stands?.words }),
      ),
    };
  }).filter(
    (row, i) => i < count || [row.from, row.to, row.words].some(({ value }) => value !== ''),
  );
}

function placeFields(
  { place, places }: DiarySettingsFacts,
  sent: Sent | null,
  voice: Voice,
): FieldModel[] {
  const { say } = voice;
  const none = ['', say('opening.none')] as const;
  const { states, regions } = places;
  const countries = countriesIn(places.countries, voice);
  const country = typedIn(sent, 'place/country') ?? place?.country ?? '';
  return [
    choice(sent, 'place/country', say('opening.country'), [none, ...countries], {
      value: place?.country,
    }),
    ...(country === '' || states.length === 0
      ? []
      : [
          choice(sent, 'place/state', say('opening.state'), [none, ...states], {
            value: place?.state,
          }),
        ]),
    ...(regions.length === 0
      ? []
      : [
          choice(sent, 'place/region', say('opening.region'), [none, ...regions], {
            value: place?.region,
          }),
        ]),
  ];
}

/** Countries in the language of the page: what knows their holidays names some in English alone. */
function countriesIn(countries: Names, { locale }: Voice): Names {
  const names = new Intl.DisplayNames(locale.tag, { type: 'region', fallback: 'none' });
  return countries
    .map(([code, name]) => [code, names.of(code) ?? name] as const)
    .sort(([, one], [, other]) => one.localeCompare(other, locale.tag));
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'diary-settings': DiarySettingsModel;
  }
}
