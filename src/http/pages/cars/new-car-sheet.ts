import { patternInWords } from '../frame/pattern-words.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import { PLACES, SALTS, USES } from '../../../domain/lubrication/keeping.ts';
import { USUALLY_EXCLUDED, usualTermsInWords } from '../../../domain/warranty/usual-terms.ts';
import { WARRANTY_WORDS } from '../../../domain/warranty/warranty.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { dayField } from '../frame/day-fields.ts';
import type { FieldModel, FormModel, Sent, TickModel } from '../frame/form.ts';
import { cautionWords } from '../frame/caution-words.ts';
import { choice, field, formOf, spokenChoices, tick } from '../frame/form.ts';
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
  /** That its registration is known and it is another car; null before anything was refused. */
  readonly another: TickModel | null;
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
  readonly carHref: string;
  readonly form: FormModel;
  /** What the form will do to the top that is on the car. */
  readonly before: readonly string[];
  readonly top: TopFields;
  readonly button: string;
  readonly cautions: readonly string[];
}

export const WARRANTIES_SHOWN = 3;
const MATERIALS = ['cloth', 'vinyl'];
const WINDOWS = ['glass', 'glass-bonded', 'clear-vinyl'];
export const POWERED = ['no', 'yes'];

/** A new car in care: its owner, the car and its top in one go. */
export function newCarSheet(
  facts: NewCarFacts,
  once: string,
  sent: Sent | null,
  voice: Voice,
): [Frame, NewCarModel] {
  const { say, language: lang } = voice;
  const { organisation, owner, self, today, patterns } = facts;
  const { timeZone, language } = organisation;
  const at = (name: string) => `owner/${name}`;
  const kind = self === null ? 'shop' : 'private';
  const ofOwner = ownerFields(sent, { timeZone, language, ...selfSaid(self) }, voice, at, kind);
  const car = carFields(sent, {}, voice);
  const top = topFields(sent, { today, patterns, top: null }, voice);
  const title = say(self === null ? 'new-car.title' : 'new-car.title.own');
  const model: NewCarModel = {
    heading: title,
    ownerHeading: say(self === null ? 'new-car.owner' : 'new-car.owner.own'),
    known: self === null ? say('new-car.known') : '',
    button: say(self === null ? 'new-car.button' : 'new-car.button.own'),
    form: formOf('/new', once, sent, [...ofOwner, ...car, ...allOf(top)]),
    lists: wordLists(facts.words),
    owner,
    ownerFields: ofOwner,
    refusesCalls:
      self === null ? tick(sent, at('refusesCalls'), say('new-car.no-calls'), false) : null,
    car,
    another: sent === null ? null : tick(sent, 'another', say('new-car.another'), false),
    top,
  };
  return [{ lang, title, nav: { here: self === null ? 'tops' : 'mine' } }, model];
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
  voice: Voice,
): [Frame, RecoverModel] {
  const { say } = voice;
  const { car, top } = facts;
  const fields = topFields(sent, facts, voice);
  const model: RecoverModel = {
    lists: wordLists(facts.words),
    heading: say(top === null ? 're-cover.heading.first' : 're-cover.heading', {
      registration: car.registration,
    }),
    carHref: `/cars/${car.id}`,
    form: formOf(`/cars/${car.id}/top`, once, sent, allOf(fields)),
    before:
      top === null
        ? []
        : [
            say('re-cover.retired', { day: voice.day(top.fittedOn) }),
            say('re-cover.visits'),
            say('re-cover.pivots'),
            say('re-cover.final'),
          ],
    top: fields,
    button: say(top === null ? 're-cover.button.first' : 're-cover.button'),
    cautions: cautionWords(voice, undefined, 'frame', 'glue', 'dust'),
  };
  return [{ lang: voice.language, title: say('re-cover.title'), nav: { here: 'tops' } }, model];
}

/** Fields of a car, with what stands of one that is in care already. */
export function carFields(sent: Sent | null, car: Partial<CarRecord>, voice: Voice): FieldModel[] {
  const { say } = voice;
  const { registration, keeping, handbook } = car;
  const untold: [string, string] = ['', say('car-field.untold')];
  return [
    field(sent, 'registration', say('car-field.registration'), {
      needed: true,
      value: registration,
    }),
    ...carWordFields(sent, car, voice),
    choice(
      sent,
      'keeping/place',
      say('car-field.place'),
      [untold, ...spokenChoices(voice, 'place', PLACES)],
      {
        value: keeping?.place,
        hint: say('car-field.place.hint'),
      },
    ),
    choice(
      sent,
      'keeping/salt',
      say('car-field.salt'),
      [untold, ...spokenChoices(voice, 'keeping-salt', SALTS)],
      {
        hint: say('car-field.salt.hint'),
        value: keeping?.salt,
      },
    ),
    choice(
      sent,
      'keeping/use',
      say('car-field.use'),
      [untold, ...spokenChoices(voice, 'use', USES)],
      { value: keeping?.use },
    ),
    field(sent, 'keeping/foldsPerYear', say('car-field.folds'), {
      mode: 'numeric',
      value: keeping?.foldsPerYear,
    }),
    field(sent, 'handbook/foldedLimitDays', say('car-field.limit'), {
      mode: 'numeric',
      hint: say('car-field.limit.hint'),
      value: handbook?.foldedLimitDays,
    }),
    field(sent, 'handbook/foldFloorCelsius', say('car-field.floor'), {
      // Telephones leave the minus sign out of their keys for numbers.
      mode: 'text',
      value: handbook?.foldFloorCelsius,
    }),
  ];
}

function topFields(
  sent: Sent | null,
  { today, patterns, top }: Pick<RecoverFacts, 'today' | 'patterns' | 'top'>,
  voice: Voice,
): TopFields {
  const { say, count, tell } = voice;
  const frames = patterns.map(({ name, pivots }): [string, string] => [
    name,
    count('top-field.frame.of', pivots.length, { name: patternInWords(name, tell) }),
  ]);
  return {
    fields: [
      // A new top on a car was mostly fitted today; that of a car new in care is older, and nobody
      // should have to notice that a day was filled in for it.
      dayField(sent, 'fittedOn', say('top-field.fitted'), voice, {
        needed: true,
        ...(top === null || top === undefined
          ? { hint: say('top-field.fitted.hint') }
          : { value: today }),
      }),
      choice(
        sent,
        'framePattern',
        say('top-field.frame'),
        [['', say('top-field.choose')], ...frames],
        {
          value: top?.framePattern,
        },
      ),
      choice(sent, 'cover/material', say('top-field.cover'), materials(voice), {
        value: top?.cover.material,
      }),
      choice(sent, 'window', say('top-field.window'), windows(voice), { value: top?.window }),
      choice(sent, 'powered', say('top-field.powered'), [
        ['', say('top-field.powered.frame')],
        ...spokenChoices(voice, 'top-field.powered', POWERED),
      ]),
      ...topWordFields(sent, {}, voice),
    ],
    warranties: Array.from({ length: WARRANTIES_SHOWN }, (_, i) => [
      field(sent, `warranties/${i}/part`, say('top-field.warranty.part', { n: String(i + 1) })),
      field(
        sent,
        `warranties/${i}/months`,
        say('top-field.warranty.months', { n: String(i + 1) }),
        { mode: 'numeric' },
      ),
    ]),
    ...whatOthersPromise(voice),
  };
}

/** What stands beside the warranties of a top. */
export function whatOthersPromise({ language, tell }: Voice) {
  return {
    usualTerms: usualTermsInWords().map(tell),
    usuallyExcluded: USUALLY_EXCLUDED.map(tell),
    beside: WARRANTY_WORDS[language === 'de' ? 'de' : 'en'],
  };
}

function allOf({ fields, warranties }: TopFields): FieldModel[] {
  return [...fields, ...warranties.flat()];
}

/** What a cover may be made of, with nothing chosen first. */
export function materials(voice: Voice): [string, string][] {
  return [['', voice.say('top-field.choose')], ...spokenChoices(voice, 'material', MATERIALS)];
}

/** What a window may be made of, with nothing chosen first. */
export function windows(voice: Voice): [string, string][] {
  return [['', voice.say('top-field.choose')], ...spokenChoices(voice, 'window', WINDOWS)];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'new-car': NewCarModel;
    readonly recover: RecoverModel;
  }
}
