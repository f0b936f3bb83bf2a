import { dayIn } from '../../../domain/calendar/zone.ts';
import { dialled, wayTo } from '../../../domain/calls/way.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { unbroken } from '../frame/phone-words.ts';
import type { Topic } from '../../../domain/round/letter-kind.ts';
import { wordsByLanguage } from '../../../views/words/words.ts';
import { type TrailModel, trailModel } from '../shop/trail-lines.ts';
import type { CardModel } from './card-sheet.ts';
import { squareOf } from './card-sheet.ts';
import type { FieldModel, FormModel, Sent, TickModel } from '../frame/form.ts';
import { choice, field, formOf, tick, typedIn } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import type { OwnerDeskRecord } from '../../../usecases/owner-door/owner-desk.ts';
import { type StayNotice, stayNotice } from './stay-notice.ts';
import type { OrganisationKind } from '../../../domain/organisation-kind.ts';
import type { OwnerRecord } from '../../../usecases/own/owner-records.ts';

export interface OwnerDeskModel {
  readonly name: string;
  readonly done: string;
  /** Set where letters do not reach the address. */
  readonly unreached: string;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  /** What to write to them of tops that must stay, in their language; null where none must. */
  readonly write: StayNotice | null;
  readonly stayHeading: string;
  /** Whether a letter has told them of it by itself; empty for an owner who keeps the own record. */
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
    readonly refusesCalls: TickModel | null;
    readonly link: FormModel;
    readonly linkCar: FieldModel;
    readonly newCar: string;
    /** Cars that were removed as mistakes, each with the form that brings it back. */
    readonly removed: readonly {
      readonly words: string;
      readonly button: string;
      readonly form: FormModel;
    }[];
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

const DONE: Readonly<Record<string, string>> = {
  revoked: 'owner-desk.done.revoked',
  changed: 'owner-desk.done.changed',
  'car-removed': 'owner-desk.done.car-removed',
};

/** The page of an owner for the shop. */
export function ownerDeskSheet(
  record: OwnerDeskRecord,
  view: {
    readonly records: boolean;
    readonly exports: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
  },
  voice: Voice,
): [Frame, OwnerDeskModel] {
  const { say, tell } = voice;
  const done = DONE[view.done ?? ''];
  const { owner, refused, standing, cars, staying, organisation, trail } = record;
  const number = dialled(owner.phone);
  const alone = organisation.kind === 'private';
  const model: OwnerDeskModel = {
    name: owner.name,
    done: done === undefined ? '' : say(done),
    unreached: standing.dead === null ? '' : tell(standing.words),
    facts: [
      { label: say('owner-desk.fact.address'), value: owner.email },
      { label: say('owner-desk.fact.letters'), value: lettersInWords(refused, voice) },
      ...(alone || (owner.postalAddress === null && owner.postcode === null)
        ? []
        : [
            {
              label: say('owner-desk.fact.post'),
              value: [owner.postalAddress, owner.postcode].filter(Boolean).join(', '),
            },
          ]),
      {
        label: say('owner-desk.fact.phone'),
        value: owner.phone === null ? say('owner-desk.no-phone') : unbroken(owner.phone),
      },
      ...(owner.refusesCalls && !alone
        ? [{ label: say('owner-desk.fact.calls'), value: say('owner-desk.no-calls') }]
        : []),
      { label: say('owner-desk.fact.language'), value: languageInWords(owner.language, voice) },
      { label: say('owner-desk.fact.zone'), value: owner.timeZone },
      ...(standing.dead === null
        ? [{ label: say('owner-desk.fact.mail'), value: tell(standing.words) }]
        : []),
    ],
    letters: `/letters?owner=${owner.id}`,
    data: view.exports ? `/owners/${owner.id}/data` : '',
    write: noticeFor(stayNotice(owner, staying, organisation), alone),
    stayHeading: say(alone ? 'today.stay.heading' : 'owner-desk.stay'),
    written: alone ? '' : writtenInWords(record, voice),
    // Nobody rings or writes to himself.
    dial: number === null || alone ? '' : `tel:${number}`,
    cars: cars.map(({ id, registration }) => ({ href: `/cars/${id}`, registration })),
    trail: trailModel(trail.items, owner.timeZone, `/trail?owner=${owner.id}`, voice),
    records: view.records ? recordsModel(record, view, voice) : null,
  };
  return [{ lang: voice.language, title: say('owner-desk.title'), nav: { here: 'tops' } }, model];
}

function noticeFor(notice: OwnerDeskModel['write'], alone: boolean): OwnerDeskModel['write'] {
  return notice === null || !alone ? notice : { ...notice, mail: '' };
}

/** The round writes by itself that a top must stay; a day for the repair has to be agreed on. */
function writtenInWords(
  { owner, standing, staysToldOn }: OwnerDeskRecord,
  { say, day }: Voice,
): string {
  const way = owner.refusesCalls ? 'write' : wayTo(owner.phone);
  if (standing.dead !== null) return say(`owner-desk.stay.unreached.${way}`);
  const written =
    staysToldOn === null
      ? say('owner-desk.stay.next')
      : say('owner-desk.stay.told', { day: day(staysToldOn) });
  return `${written} ${say(`owner-desk.stay.${way}`)}`;
}

function recordsModel(
  { owner, cars, removed, organisation }: OwnerDeskRecord,
  { once, sent }: { readonly once: string; readonly sent: Sent | null },
  voice: Voice,
): NonNullable<OwnerDeskModel['records']> {
  const { say } = voice;
  const own = `/owners/${owner.id}`;
  const fields = ownerFields(sent, owner, voice, undefined, organisation.kind);
  return {
    form: formOf(own, once, sent, fields),
    version: String(owner.version),
    fields,
    // A private owner rings nobody.
    refusesCalls:
      organisation.kind === 'private'
        ? null
        : tick(sent, 'refusesCalls', say('owner-desk.no-calls.tick'), owner.refusesCalls),
    link: formOf(`${own}/links`, once, null, []),
    linkCar: choice(null, 'car', say('owner-desk.link.opens'), [
      ['', say('owner-desk.link.all')],
      ...cars.map(
        ({ id, registration }) => [id, say('owner-desk.link.one', { registration })] as const,
      ),
    ]),
    newCar: `/new?owner=${owner.id}`,
    removed: removed.map(({ carId, registration, at, author, by: name }) => {
      const by = author.startsWith('key:') ? voice.tell(name) : name;
      const told = { registration, by, day: voice.day(dayIn(owner.timeZone, at)) };
      return {
        words: say(by === '' ? 'owner-desk.removed.one' : 'owner-desk.removed.by', told),
        button: say('owner-desk.removed.button', told),
        form: formOf(`${own}/cars/${carId}/back`, once, null, []),
      };
    }),
    erase: formOf(`${own}/erase`, once, null, []),
  };
}

/** Fields of an owner; `at` where they stand in a larger form. */
export function ownerFields(
  sent: Sent | null,
  owner: Partial<OwnerRecord> & Pick<OwnerRecord, 'timeZone' | 'language'>,
  voice: Voice,
  at: (name: string) => string = (name) => name,
  kind: OrganisationKind = 'shop',
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
    // Nobody writes to himself by post.
    ...(kind === 'private'
      ? []
      : [
          field(sent, at('postalAddress'), say('owner-field.postal'), {
            area: true,
            value: postalAddress,
          }),
          field(sent, at('postcode'), say('owner-field.postcode'), { value: postcode }),
        ]),
  ];
}

/** The page that shows a fresh link of an owner, this once. */
export function ownerLinkSheet(
  owner: Pick<OwnerRecord, 'id' | 'name'>,
  url: string,
  path: string,
  { language, say }: Voice,
): [Frame, OwnerLinkModel] {
  const { id, name } = owner;
  const model = {
    name,
    ownerHref: `/owners/${id}`,
    url,
    card: `${path}/card`,
    code: squareOf(url),
  };
  return [{ lang: language, title: say('owner-link.title'), nav: { here: 'tops' } }, model];
}

function lettersInWords(refused: readonly Topic[], { say }: Voice): string {
  if (refused.length === 0) return say('owner-desk.refused.none');
  const topics = refused.map((topic) => say(`owner-desk.topic.${topic}`)).join('; ');
  return say('owner-desk.refused', { topics });
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
