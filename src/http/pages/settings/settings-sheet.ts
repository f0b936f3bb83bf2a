import type { OrganisationRecord } from '../../../usecases/organisations/organisations.ts';
import type { FieldModel, FormModel, Sent, TickModel } from '../frame/form.ts';
import { choice, field, formOf, tick, typedIn } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

export interface SettingsModel {
  readonly done: string;
  readonly places: readonly {
    readonly href: string;
    readonly name: string;
    readonly words: string;
  }[];
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  /** Null for whoever may not change them. */
  readonly form:
    | (FormModel & {
        readonly version: string;
        readonly fields: readonly FieldModel[];
        readonly night: TickModel;
      })
    | null;
}

const KIND_WORDS = [
  ['shop', 'a shop that fits and keeps tops'],
  ['club', 'a club that cares for its members’ cars'],
  ['private', 'an owner of one car or a few'],
] as const;

const PLACES = [
  [
    '/settings/figures',
    'Figures',
    'what decides when, how much and whether: each with its source, and your own in its place',
  ],
  ['/settings/prices', 'Prices', 'your hour and your tax, for estimates'],
  ['/estimates', 'Estimates', 'what waits for an answer, what was accepted and what was declined'],
  ['/letters', 'Letters', 'what was written to whom, what waits and what did not arrive'],
  [
    '/settings/retention',
    'How long things are kept',
    'kind by kind, with what would go, and the page on privacy that owners read',
  ],
  ['/letter-kinds', 'Wording', 'what each kind of letter says, and how it looks with your records'],
  ['/patterns', 'Frames', 'which joints a frame has, and your own drawings'],
  ['/start', 'Getting started', 'what is set up, and what is still missing'],
  ['/import', 'Bring your table', 'cars, owners and tops from a workbook or CSV, looked at first'],
  ['/export', 'Take records out', 'as tables for a spreadsheet, or everything as one document'],
  ['/people', 'People', 'who may sign in, and what each may do'],
  ['/keys', 'Keys for programs', 'made, seen and ended'],
  ['/trail', 'Changes', 'who changed what, when, and what stood there before'],
  ['/reference', 'For programmers', 'how other programs read and write your records'],
] as const;

// A private owner has no customers, no bench and no table of cars.
const OF_A_TRADE: readonly string[] = ['/settings/prices', '/import', '/estimates'];
const PRIVATE_WORDS: Readonly<Record<string, string>> = {
  '/settings/figures': 'what decides when you are told, each number with its source',
  '/letters': 'what was written to you, and what waits',
  '/settings/retention': 'kind by kind, with what would go',
  '/letter-kinds': 'what each kind of letter says, and how it looks with your car',
};

/** What the settings lead to, by the kind of organisation. */
function placesFor(kind: OrganisationRecord['kind']): SettingsModel['places'] {
  const isOwn = kind === 'private';
  return PLACES.filter(([href]) => !isOwn || !OF_A_TRADE.includes(href)).map(
    ([href, name, words]) => ({ href, name, words: (isOwn && PRIVATE_WORDS[href]) || words }),
  );
}

/** The settings of an organisation. */
export function settingsSheet(
  organisation: OrganisationRecord,
  looking: {
    readonly keeps: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
  },
): [Frame, SettingsModel] {
  const { letterHours, nightAlarms } = organisation;
  const model: SettingsModel = {
    done:
      looking.done === 'changed'
        ? 'Kept. Letters that waited for other hours are written anew for these.'
        : '',
    places: placesFor(organisation.kind),
    facts: [
      { label: 'Name', value: organisation.name },
      { label: 'Letters leave', value: `${letterHours.from}:00 to ${letterHours.to}:00` },
      { label: 'Alarms at night', value: nightAlarms ? 'leave at once' : 'wait for the morning' },
      { label: 'Time zone', value: organisation.timeZone },
    ],
    form: looking.keeps ? formModel(organisation, looking) : null,
  };
  return [{ lang: 'en', title: 'Settings', nav: { here: 'settings' } }, model];
}

function formModel(
  organisation: OrganisationRecord,
  { once, sent }: { readonly once: string; readonly sent: Sent | null },
): NonNullable<SettingsModel['form']> {
  const { letterHours, nightAlarms, version } = organisation;
  const isOwn = organisation.kind === 'private';
  const hour = { type: 'number', mode: 'numeric', needed: true };
  const fields = [
    field(sent, 'name', 'Name', { value: organisation.name, needed: true }),
    choice(sent, 'kind', 'You are', KIND_WORDS, { value: organisation.kind, radio: true }),
    field(sent, 'postalAddress', 'Postal address', {
      value: organisation.postalAddress,
      area: true,
      hint: isOwn
        ? 'Stands at the foot of your letters.'
        : 'Stands at the foot of every letter; the law of many countries asks for it.',
    }),
    field(sent, 'phone', 'Telephone', {
      value: organisation.phone,
      type: 'tel',
      hint: isOwn
        ? 'Left empty, letters name none.'
        : 'Owners are asked to ring it, first of all where a top must not be moved.',
    }),
    field(sent, 'email', 'Mail address for answers', { value: organisation.email, type: 'email' }),
    field(sent, 'language', 'Language', {
      value: organisation.language,
      hint: isOwn
        ? 'A language tag, such as en or de-AT.'
        : 'A language tag, such as en or de-AT. An owner’s own language goes before it.',
      needed: true,
    }),
    field(sent, 'timeZone', 'Time zone', {
      value: organisation.timeZone,
      hint: 'Such as Europe/London.',
      needed: true,
    }),
    field(sent, 'letterHours/from', 'Letters leave from (hour)', {
      ...hour,
      id: 'hours-from',
      value: letterHours.from,
      hint: isOwn ? 'On your clock.' : 'On the clock of each owner.',
    }),
    field(sent, 'letterHours/to', 'and until (hour)', {
      ...hour,
      id: 'hours-to',
      value: letterHours.to,
    }),
  ];
  return {
    ...formOf('/settings', once, sent, fields),
    version: typedIn(sent, 'version') ?? String(version),
    fields,
    night: tick(
      sent,
      'nightAlarms',
      'Alarms of a top folded too long may leave at night too',
      nightAlarms,
    ),
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly settings: SettingsModel;
  }
}
