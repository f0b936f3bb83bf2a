import { ORGANISATION_KINDS } from '../../../domain/organisation-kind.ts';
import type { OrganisationRecord } from '../../../usecases/organisations/organisations.ts';
import type { Voice } from '../../../views/words/voice.ts';
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
        /** Null for a private owner, who gets letters. */
        readonly daily: TickModel | null;
      })
    | null;
}

/** Where the settings lead to, by the names of the words for it. */
const PLACES = [
  ['/settings/figures', 'figures'],
  ['/settings/prices', 'prices'],
  ['/estimates', 'estimates'],
  ['/letters', 'letters'],
  ['/settings/retention', 'retention'],
  ['/letter-kinds', 'wording'],
  ['/patterns', 'frames'],
  ['/start', 'start'],
  ['/import', 'import'],
  ['/export', 'export'],
  ['/people', 'people'],
  ['/keys', 'keys'],
  ['/trail', 'changes'],
  ['/reference', 'programmers'],
] as const;

// A private owner has no customers, no bench and no table of cars.
const OF_A_TRADE: readonly string[] = ['prices', 'import', 'estimates'];
const SAID_OTHERWISE: readonly string[] = ['figures', 'letters', 'retention', 'wording'];

/** What the settings lead to, by the kind of organisation. */
function placesFor(kind: OrganisationRecord['kind'], { say }: Voice): SettingsModel['places'] {
  const isOwn = kind === 'private';
  return PLACES.filter(([, name]) => !isOwn || !OF_A_TRADE.includes(name)).map(([href, name]) => {
    const words = isOwn && SAID_OTHERWISE.includes(name) ? 'own' : 'words';
    return {
      href,
      name: say(`settings.place.${name}`),
      words: say(`settings.place.${name}.${words}`),
    };
  });
}

/** The settings of an organisation. */
export function settingsSheet(
  organisation: OrganisationRecord,
  view: {
    readonly keeps: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
  },
  voice: Voice,
): [Frame, SettingsModel] {
  const { say } = voice;
  const { letterHours, nightAlarms, dailyMail } = organisation;
  const model: SettingsModel = {
    done: view.done === 'changed' ? say('settings.done') : '',
    places: placesFor(organisation.kind, voice),
    facts: [
      { label: say('settings.fact.name'), value: organisation.name },
      {
        label: say('settings.fact.hours'),
        value: say('settings.fact.hours.words', {
          from: String(letterHours.from),
          to: String(letterHours.to),
        }),
      },
      {
        label: say('settings.fact.night'),
        value: say(`settings.fact.night.${nightAlarms ? 'leave' : 'wait'}`),
      },
      ...(organisation.kind === 'private'
        ? []
        : [
            {
              label: say('settings.fact.daily'),
              value: say(`settings.fact.daily.${dailyMail ? 'yes' : 'no'}`),
            },
          ]),
      { label: say('settings.fact.zone'), value: organisation.timeZone },
    ],
    form: view.keeps ? formModel(organisation, view, voice) : null,
  };
  return [{ lang: voice.language, title: say('settings.title'), nav: { here: 'settings' } }, model];
}

function formModel(
  organisation: OrganisationRecord,
  { once, sent }: { readonly once: string; readonly sent: Sent | null },
  { say }: Voice,
): NonNullable<SettingsModel['form']> {
  const { letterHours, nightAlarms, version } = organisation;
  const own = organisation.kind === 'private' ? 'own' : 'hint';
  const kindChoices = ORGANISATION_KINDS.map(
    (kind) => [kind, say(`settings.kind.${kind}`)] as const,
  );
  const hour = { type: 'number', mode: 'numeric', needed: true };
  const fields = [
    field(sent, 'name', say('settings.field.name'), { value: organisation.name, needed: true }),
    choice(sent, 'kind', say('settings.field.kind'), kindChoices, {
      value: organisation.kind,
      radio: true,
    }),
    field(sent, 'postalAddress', say('settings.field.address'), {
      value: organisation.postalAddress,
      area: true,
      hint: say(`settings.field.address.${own}`),
    }),
    field(sent, 'phone', say('settings.field.phone'), {
      value: organisation.phone,
      type: 'tel',
      hint: say(`settings.field.phone.${own}`),
    }),
    field(sent, 'email', say('settings.field.email'), { value: organisation.email, type: 'email' }),
    field(sent, 'language', say('settings.field.language'), {
      value: organisation.language,
      hint: say(`settings.field.language.${own}`),
      needed: true,
    }),
    field(sent, 'timeZone', say('settings.field.zone'), {
      value: organisation.timeZone,
      hint: say('settings.field.zone.hint'),
      needed: true,
    }),
    field(sent, 'letterHours/from', say('settings.field.from'), {
      ...hour,
      id: 'hours-from',
      value: letterHours.from,
      hint: say(`settings.field.from.${own}`),
    }),
    field(sent, 'letterHours/to', say('settings.field.to'), {
      ...hour,
      id: 'hours-to',
      value: letterHours.to,
    }),
  ];
  return {
    ...formOf('/settings', once, sent, fields),
    version: typedIn(sent, 'version') ?? String(version),
    fields,
    night: tick(sent, 'nightAlarms', say('settings.field.night'), nightAlarms),
    daily:
      organisation.kind === 'private'
        ? null
        : tick(sent, 'dailyMail', say('settings.field.daily'), organisation.dailyMail),
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly settings: SettingsModel;
  }
}
