import type { Day } from '../../../domain/calendar/day.ts';
import { cautionsFor } from '../../../domain/cautions/cautions.ts';
import { PLACES, SALTS, USES } from '../../../domain/lubrication/keeping.ts';
import { USUALLY_EXCLUDED, usualTermsInWords } from '../../../domain/warranty/usual-terms.ts';
import { WARRANTY_WORDS } from '../../../domain/warranty/warranty.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FieldModel, FormModel, Sent, TickModel } from '../frame/form.ts';
import { choice, field, formOf, plainChoices, tick } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import type { OwnWords } from '../../../usecases/cars/earlier-words.ts';
import type { CarRecord } from '../../../usecases/own/car-records.ts';
import type { WordList } from './word-fields.ts';
import { carWordFields, topWordFields, wordLists } from './word-fields.ts';
import { ownerFields } from '../owners/owner-desk-sheet.ts';

export interface PatternFacts {
  readonly name: string;
  readonly pivots: readonly object[];
}

export interface TopFields {
  readonly fields: readonly FieldModel[];
  readonly warranties: readonly (readonly FieldModel[])[];
  /** What others promise and leave out, for orientation. */
  readonly usualTerms: readonly string[];
  readonly usuallyExcluded: readonly string[];
  readonly beside: string;
}

export interface NewCarFacts {
  readonly today: Day;
  readonly organisation: { readonly timeZone: string; readonly language: string };
  /** The owner of the new car, where known already. */
  readonly owner: { readonly id: string; readonly name: string } | null;
  /** Whoever keeps the own cars here, as far as known; null in a shop or a club. */
  readonly self: { readonly name: string; readonly email: string | null } | null;
  readonly patterns: readonly PatternFacts[];
  readonly words: OwnWords;
}

export interface NewCarModel {
  readonly heading: string;
  readonly ownerHeading: string;
  /** What to do where the owner is known already; empty for the own cars. */
  readonly known: string;
  readonly button: string;
  readonly form: FormModel;
  readonly lists: readonly WordList[];
  readonly owner: { readonly id: string; readonly name: string } | null;
  readonly ownerFields: readonly FieldModel[];
  /** Null for the own cars. */
  readonly refusesCalls: TickModel | null;
  readonly car: readonly FieldModel[];
  readonly top: TopFields;
}

export interface RecoverFacts {
  readonly today: Day;
  readonly car: { readonly id: string; readonly registration: string };
  /** The top that is on the car; null where none is recorded. */
  readonly top: {
    readonly fittedOn: Day;
    readonly framePattern: string;
    readonly cover: { readonly material: string };
    readonly window: string;
  } | null;
  readonly patterns: readonly PatternFacts[];
  readonly words: OwnWords;
}

export interface RecoverModel {
  readonly lists: readonly WordList[];
  readonly heading: string;
  readonly registration: string;
  readonly carHref: string;
  readonly form: FormModel;
  /** What the form will do to the top that is on the car. */
  readonly before: readonly string[];
  readonly top: TopFields;
  readonly button: string;
  readonly cautions: readonly string[];
}

export const WARRANTIES_SHOWN = 3;
export const MATERIALS = ['cloth', 'vinyl'];
export const WINDOWS = ['glass', 'glass-bonded', 'clear-vinyl'];
const EN = localeOf('en-GB');

/** A new car in care: its owner, the car and its top in one go. */
export function newCarSheet(
  facts: NewCarFacts,
  once: string,
  sent: Sent | null,
): [Frame, NewCarModel] {
  const { organisation, owner, self, today, patterns } = facts;
  const { timeZone, language } = organisation;
  const at = (name: string) => `owner/${name}`;
  const ofOwner = ownerFields(sent, { timeZone, language, ...selfSaid(self) }, at);
  const car = carFields(sent);
  const top = topFields(sent, { today, patterns, top: null });
  const title = self === null ? 'New car in care' : 'A car of yours';
  const model: NewCarModel = {
    heading: title,
    ownerHeading: self === null ? 'Owner' : 'You',
    known:
      self === null
        ? 'Known already? Find one of the owner’s cars, open the owner there, and begin from that page.'
        : '',
    button: self === null ? 'Take it into care' : 'Keep it',
    form: formOf('/new', once, sent, [...ofOwner, ...car, ...allOf(top)]),
    lists: wordLists(facts.words),
    owner,
    ownerFields: ofOwner,
    refusesCalls: self === null ? tick(sent, at('refusesCalls'), 'Wants no calls', false) : null,
    car,
    top,
  };
  return [{ lang: 'en', title, nav: { here: self === null ? 'tops' : 'mine' } }, model];
}

function selfSaid(self: NewCarFacts['self']) {
  if (self === null) return {};
  return { name: self.name, ...(self.email === null ? {} : { email: self.email }) };
}

/** A new top on a car that is in care already. */
export function recoverSheet(
  facts: RecoverFacts,
  once: string,
  sent: Sent | null,
): [Frame, RecoverModel] {
  const { car, top } = facts;
  const { first, cautions } = cautionsFor('frame', 'glue', 'dust');
  const fields = topFields(sent, facts);
  const model: RecoverModel = {
    lists: wordLists(facts.words),
    heading: top === null ? 'Record the top of' : 'Re-cover',
    registration: car.registration,
    carHref: `/cars/${car.id}`,
    form: formOf(`/cars/${car.id}/top`, once, sent, allOf(fields)),
    before:
      top === null
        ? []
        : [
            `The top that was fitted on ${EN.day(top.fittedOn)} is retired on the day of the new one.`,
            'Visits booked for it are called off, and their owner is told.',
            'The pivots stay with the car, with all their readings; oil counts from the day of the new top.',
            'This cannot be taken back.',
          ],
    top: fields,
    button: top === null ? 'Record the top' : 'Retire the old top and record the new one',
    cautions: [first.en, ...cautions.map(({ hazard, show }) => `${hazard.en}. ${show.en}`)],
  };
  return [{ lang: 'en', title: 'A new top', nav: { here: 'tops' } }, model];
}

/** Fields of a car, with what stands of one that is in care already. */
export function carFields(sent: Sent | null, car: Partial<CarRecord> = {}): FieldModel[] {
  const { registration, keeping, handbook } = car;
  return [
    field(sent, 'registration', 'Registration', { needed: true, value: registration }),
    ...carWordFields(sent, car),
    choice(sent, 'keeping/place', 'Where it stands', untold(PLACES), {
      value: keeping?.place,
      hint: 'Not told yet? Leave it: the owner’s page asks, and oil is due after 12 months at most.',
    }),
    choice(sent, 'keeping/salt', 'Salt that reaches it', untold(SALTS), {
      hint: 'Near the sea: a few km. By the sea: within 1 km.',
      value: keeping?.salt,
    }),
    choice(sent, 'keeping/use', 'Driven', untold(USES), { value: keeping?.use }),
    field(sent, 'keeping/foldsPerYear', 'Folds in a year, if known', {
      mode: 'numeric',
      value: keeping?.foldsPerYear,
    }),
    field(sent, 'handbook/foldedLimitDays', 'Days it may stay folded, by its handbook', {
      mode: 'numeric',
      hint: 'Left empty: 3, the common practice.',
      value: handbook?.foldedLimitDays,
    }),
    field(sent, 'handbook/foldFloorCelsius', 'Coldest for folding, °C, by its handbook', {
      // Telephones leave the minus sign out of their keys for numbers.
      mode: 'text',
      value: handbook?.foldFloorCelsius,
    }),
  ];
}

function topFields(
  sent: Sent | null,
  { today, patterns, top }: Pick<RecoverFacts, 'today' | 'patterns' | 'top'>,
): TopFields {
  const frames = patterns.map(({ name, pivots }): [string, string] => [
    name,
    `${name.replaceAll('-', ' ')}, ${pivots.length} pivots`,
  ]);
  return {
    fields: [
      // A new top on a car was mostly fitted today; that of a car new in care is older, and nobody
      // should have to notice that a day was filled in for it.
      field(sent, 'fittedOn', 'Fitted on', {
        type: 'date',
        needed: true,
        ...(top === null || top === undefined
          ? { hint: 'Where nobody knows the day: the year of the car, 1 January' }
          : { value: today }),
      }),
      choice(sent, 'framePattern', 'Frame', [['', 'choose'], ...frames], {
        value: top?.framePattern,
      }),
      choice(sent, 'cover/material', 'Cover', unchosen(MATERIALS), { value: top?.cover.material }),
      choice(sent, 'window', 'Window', unchosen(WINDOWS), { value: top?.window }),
      choice(sent, 'powered', 'Folds', [
        ['', 'as its frame does'],
        ['no', 'by hand'],
        ['yes', 'powered'],
      ]),
      ...topWordFields(sent, {}),
    ],
    warranties: Array.from({ length: WARRANTIES_SHOWN }, (_, i) => [
      field(sent, `warranties/${i}/part`, `Warranty ${i + 1}: part`),
      field(sent, `warranties/${i}/months`, `Warranty ${i + 1}: months`, { mode: 'numeric' }),
    ]),
    ...whatOthersPromise(),
  };
}

/** What stands beside the warranties of a top. */
export function whatOthersPromise() {
  return {
    usualTerms: usualTermsInWords(),
    usuallyExcluded: USUALLY_EXCLUDED,
    beside: WARRANTY_WORDS.en,
  };
}

function allOf({ fields, warranties }: TopFields): FieldModel[] {
  return [...fields, ...warranties.flat()];
}

export function unchosen(values: readonly string[]): [string, string][] {
  return [['', 'choose'], ...plainChoices(values)];
}

function untold(values: readonly string[]): [string, string][] {
  return [['', 'not told'], ...plainChoices(values)];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'new-car': NewCarModel;
    readonly recover: RecoverModel;
  }
}
