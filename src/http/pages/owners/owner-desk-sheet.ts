import { type Voice, voiceFor } from '../../../views/words/voice.ts';
import { unbroken } from '../frame/phone-words.ts';
import type { Topic } from '../../../domain/round/letter-kind.ts';
import { wordsByLanguage } from '../../../views/words/words.ts';
import { type TrailModel, trailModel } from '../shop/trail-lines.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { CardModel } from './card-sheet.ts';
import { squareOf } from './card-sheet.ts';
import type { FieldModel, FormModel, Sent, TickModel } from '../frame/form.ts';
import { choice, field, formOf, tick, typedIn } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import type { OwnerDeskRecord } from '../../../usecases/owner-door/owner-desk.ts';
import { type StayNotice, stayNotice } from './stay-notice.ts';
import type { OwnerRecord } from '../../../usecases/own/owner-records.ts';

export interface OwnerDeskModel {
  readonly name: string;
  readonly done: string;
  /** Set where letters do not reach the address. */
  readonly unreached: string;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  /** What to write to them of tops that must stay, in their language; null where none must. */
  readonly write: StayNotice | null;
  /** Whether a letter has told them of it by itself. */
  readonly written: string;
  readonly dial: string;
  /** What was ever written to them. */
  readonly letters: string;
  /** All that is held about them; empty for whoever may not take it out. */
  readonly data: string;
  readonly cars: readonly { readonly href: string; readonly registration: string }[];
  readonly trail: TrailModel;
  /** What can be changed; null for whoever may only read. */
  readonly records: {
    readonly form: FormModel;
    readonly version: string;
    readonly fields: readonly FieldModel[];
    readonly refusesCalls: TickModel;
    readonly link: FormModel;
    readonly linkCar: FieldModel;
    readonly newCar: string;
    readonly erase: FormModel;
  } | null;
}

export interface OwnerLinkModel {
  readonly name: string;
  readonly ownerHref: string;
  readonly url: string;
  readonly card: string;
  readonly code: CardModel['code'];
}

const EN = localeOf('en-GB');
const TOPIC_WORDS: Readonly<Record<Topic, string>> = {
  reminders: 'reminders of oil and warranties',
  'folded-limit': 'alarms of a top folded too long',
  'care-notes': 'advice on care',
  offers: 'weeks offered for a visit',
  'club-news': 'letters of the club to all',
};

const DONE: Readonly<Record<string, string>> = {
  revoked:
    'Revoked: no link of this owner opens anything any more, save those that stop letters. The next letter brings a new one.',
  changed: 'Changed. Letters that waited for an old address are written anew to the right one.',
};

/** The page of an owner for the shop. */
export function ownerDeskSheet(
  record: OwnerDeskRecord,
  looking: {
    readonly records: boolean;
    readonly exports: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
  },
): [Frame, OwnerDeskModel] {
  const { owner, refused, standing, cars, staying, organisation, trail } = record;
  const digits = owner.phone?.replaceAll(/[^\d+]/g, '') ?? '';
  const model: OwnerDeskModel = {
    name: owner.name,
    done: DONE[looking.done ?? ''] ?? '',
    unreached: standing.dead === null ? '' : standing.words,
    facts: [
      { label: 'Address', value: owner.email },
      { label: 'Letters', value: lettersInWords(refused) },
      ...(owner.postalAddress === null && owner.postcode === null
        ? []
        : [
            {
              label: 'By post',
              value: [owner.postalAddress, owner.postcode].filter(Boolean).join(', '),
            },
          ]),
      { label: 'Telephone', value: owner.phone === null ? 'none noted' : unbroken(owner.phone) },
      ...(owner.refusesCalls ? [{ label: 'Calls', value: 'wants none' }] : []),
      { label: 'Language', value: languageInWords(owner.language, voiceFor('en')) },
      { label: 'Time zone', value: owner.timeZone },
      ...(standing.dead === null ? [{ label: 'Mail', value: standing.words }] : []),
    ],
    letters: `/letters?owner=${owner.id}`,
    data: looking.exports ? `/owners/${owner.id}/data` : '',
    write: stayNotice(owner, staying, organisation),
    written: writtenInWords(record),
    dial: digits.length < 3 ? '' : `tel:${digits}`,
    cars: cars.map(({ id, registration }) => ({ href: `/cars/${id}`, registration })),
    trail: trailModel(trail.items, owner.timeZone, `/trail?owner=${owner.id}`, voiceFor('en')),
    records: looking.records ? recordsModel(owner, cars, looking) : null,
  };
  return [{ lang: 'en', title: 'An owner', nav: { here: 'tops' } }, model];
}

/** The round writes by itself that a top must stay; a day for the repair has to be agreed on. */
function writtenInWords({ standing, staysToldOn }: OwnerDeskRecord): string {
  if (standing.dead !== null) return 'No letter reaches them: ring, or write by post.';
  return staysToldOn === null
    ? 'A letter that says so is written by the next round. Ring, or write this, to agree on a day for the repair.'
    : `A letter that says so was written for ${EN.day(staysToldOn)}. Ring, or write this, to agree on a day for the repair.`;
}

function recordsModel(
  owner: OwnerRecord,
  cars: OwnerDeskRecord['cars'],
  { once, sent }: { readonly once: string; readonly sent: Sent | null },
): NonNullable<OwnerDeskModel['records']> {
  const own = `/owners/${owner.id}`;
  const fields = ownerFields(sent, owner, voiceFor('en'));
  return {
    form: formOf(own, once, sent, fields),
    version: String(owner.version),
    fields,
    refusesCalls: tick(sent, 'refusesCalls', 'Wants no calls', owner.refusesCalls),
    link: formOf(`${own}/links`, once, null, []),
    linkCar: choice(null, 'car', 'What it opens', [
      ['', 'all cars of this owner'],
      ...cars.map(({ id, registration }) => [id, `${registration} alone`] as const),
    ]),
    newCar: `/new?owner=${owner.id}`,
    erase: formOf(`${own}/erase`, once, null, []),
  };
}

/** Fields of an owner; `at` where they stand in a larger form. */
export function ownerFields(
  sent: Sent | null,
  owner: Partial<OwnerRecord> & Pick<OwnerRecord, 'timeZone' | 'language'>,
  voice: Voice,
  at: (name: string) => string = (name) => name,
): FieldModel[] {
  const { say } = voice;
  const { name, email, phone, timeZone, language, postalAddress, postcode } = owner;
  return [
    field(sent, at('name'), say('owner-field.name'), { value: name, needed: true }),
    field(sent, at('email'), say('owner-field.email'), {
      type: 'email',
      mode: 'email',
      value: email,
    }),
    field(sent, at('phone'), say('owner-field.phone'), { type: 'tel', mode: 'tel', value: phone }),
    choice(
      sent,
      at('language'),
      say('owner-field.language'),
      languagesWith(voice, language, typedIn(sent, at('language'))),
      { value: language },
    ),
    field(sent, at('timeZone'), say('owner-field.zone'), {
      value: timeZone,
      hint: say('owner-field.zone.hint'),
    }),
    field(sent, at('postalAddress'), say('owner-field.postal'), {
      area: true,
      value: postalAddress,
    }),
    field(sent, at('postcode'), say('owner-field.postcode'), { value: postcode }),
  ];
}

/** The page that shows a fresh link of an owner, this once. */
export function ownerLinkSheet(
  owner: Pick<OwnerRecord, 'id' | 'name'>,
  url: string,
  path: string,
): [Frame, OwnerLinkModel] {
  const { id, name } = owner;
  const model = {
    name,
    ownerHref: `/owners/${id}`,
    url,
    card: `${path}/card`,
    code: squareOf(url),
  };
  return [{ lang: 'en', title: 'A link for an owner', nav: { here: 'tops' } }, model];
}

function lettersInWords(refused: readonly Topic[]): string {
  if (refused.length === 0) return 'none refused';
  return `refused: ${refused.map((topic) => TOPIC_WORDS[topic]).join('; ')}`;
}

function languagesWith(voice: Voice, ...others: readonly (string | null)[]): [string, string][] {
  const known = [...wordsByLanguage().keys(), ...others.filter((one) => one !== null)];
  return [...new Set(known)].sort().map((tag) => [tag, languageInWords(tag, voice)]);
}

function languageInWords(tag: string, { locale }: Voice): string {
  try {
    return new Intl.DisplayNames(locale.tag, { type: 'language' }).of(tag) ?? tag;
  } catch {
    return tag;
  }
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'owner-desk': OwnerDeskModel;
    readonly 'owner-link': OwnerLinkModel;
  }
}
