import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { DIARY_RULES } from '../../../usecases/bench/diary-calendar.ts';
import { holidayPlaces } from '../../../usecases/bench/public-holidays.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { day, line, openHours } from '../../../usecases/records/record-fields.ts';
import {
  changeDiarySettings,
  showDiarySettings,
} from '../../../usecases/settings/diary-settings.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { dayIn, isTicked, numberIn, readBy, textIn, timeIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';
import { diarySettingsSheet, MOST_CLOSURES } from './settings-sheet.ts';

const WEEK = [1, 2, 3, 4, 5, 6, 7] as const;
const LARGEST = 40_000;

const rule = z.number().nullable();
const settings = z.strictObject({
  weekdays: z.array(z.int()),
  hours: openHours,
  closures: z.array(z.strictObject({ from: day, to: day.optional(), words: line(120) })),
  place: z
    .strictObject({
      country: z.string(),
      state: z.string().optional(),
      region: z.string().optional(),
    })
    .nullable(),
  takesBookings: z.boolean(),
  shopRules: z.strictObject(Object.fromEntries(DIARY_RULES.map((name) => [name, rule]))),
});

/** Opening days and hours, closures and holidays, and what owners may choose. */
export function diarySettingsPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, voice: Voice, done: boolean, sent: Sent | null) => {
    const facts = await showDiarySettings(context, caller);
    const typed = sent?.typed;
    const country = typed?.['place/country'] ?? facts.place?.country;
    const state = typed?.['place/state'] ?? facts.place?.state;
    const places = await holidayPlaces({
      language: voice.language,
      ...(country ? { country } : {}),
      ...(state ? { state } : {}),
    });
    return renderFor(
      caller,
      'diary-settings',
      ...diarySettingsSheet({ ...facts, places, done }, freshOnce(), sent, voice),
    );
  };
  showForm(app, context, '/diary/settings', ({ caller, voice, query }) =>
    page(caller, voice, query('done') === 'settings', null),
  );
  answerForm(app, context, {
    path: '/diary/settings',
    largest: LARGEST,
    record: async ({ caller, form, voice }) => {
      const change = readBy(settings, settingsIn(form, voice));
      await changeDiarySettings(context, caller, change, versionIn(form));
      return { to: '/diary/settings?done=settings' };
    },
    show: ({ caller, voice }, sent) => page(caller, voice, false, sent),
    fieldAt: closureFieldAt,
  });
}

/** The form as the settings of the API. */
function settingsIn(form: SmallForm, voice: Voice) {
  const country = textIn(form, 'place/country');
  return {
    weekdays: WEEK.filter((weekday) => isTicked(form, `open/${weekday}`)),
    hours: Object.fromEntries(
      WEEK.flatMap((weekday) => {
        const [from, to] = ['from', 'to'].map((end) => timeIn(form, `hours/${weekday}/${end}`));
        return from === undefined && to === undefined ? [] : [[weekday, { from, to }]];
      }),
    ),
    closures: closureRowsIn(form).map(({ row, words }) => ({
      from: dayIn(form, `closures/${row}/from`, voice),
      to: dayIn(form, `closures/${row}/to`, voice),
      words,
    })),
    place:
      country === undefined
        ? null
        : { country, state: textIn(form, 'place/state'), region: textIn(form, 'place/region') },
    takesBookings: isTicked(form, 'takesBookings'),
    shopRules: Object.fromEntries(
      DIARY_RULES.map((name) => [name, numberIn(form, `shopRules/${name}`) ?? null]),
    ),
  };
}

/** The rows in which something stands, each with where it stands. */
function closureRowsIn(form: SmallForm) {
  return Array.from({ length: MOST_CLOSURES }, (_, row) => ({
    row,
    from: textIn(form, `closures/${row}/from`),
    to: textIn(form, `closures/${row}/to`),
    words: textIn(form, `closures/${row}/words`),
  })).filter(({ from, to, words }) => [from, to, words].some((text) => text !== undefined));
}

/** Empty rows were left out before the settings were read, so their numbers are put back. */
function closureFieldAt(pointer: string, form: SmallForm): string | null {
  const [, index, part] = /^#\/closures\/(\d+)\/(\w+)$/.exec(pointer) ?? [];
  if (index === undefined) return pointer.startsWith('#/') ? pointer.slice(2) : null;
  const row = closureRowsIn(form)[Number(index)]?.row ?? Number(index);
  return `closures/${row}/${part}`;
}
