import type { VisitKind } from '../../domain/bench/minutes.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { cautionsFor } from '../../domain/cautions/cautions.ts';
import { FAULTS } from '../../domain/faults/fault-rows.ts';
import { atLeast, PIVOT_STATES } from '../../domain/pivots/state.ts';
import { localeOf } from '../letters/locale.ts';
import type { FieldModel, FormModel, Sent, TickModel } from './form.ts';
import { choice, field, formOf, plainChoices, tick, typedIn } from './form.ts';
import type { Frame } from './frame.ts';
import type { Shown } from './pivot-map.ts';
import type { TopFacts } from './top-sheet.ts';

export interface VisitFormFacts extends TopFacts {
  readonly today: Day;
  /** The booking that is completed; null for a visit that nobody booked. */
  readonly visit: {
    readonly id: string;
    readonly kind: string;
    readonly plannedOn: Day | null;
    readonly minutes: number | null;
    readonly notes: string | null;
    readonly version: number;
  } | null;
}

export interface VisitFormModel {
  readonly heading: string;
  readonly registration: string;
  readonly topHref: string;
  readonly form: FormModel;
  readonly version: string;
  readonly kind: FieldModel | null;
  readonly doneOn: FieldModel;
  readonly minutes: FieldModel;
  readonly others: FieldModel;
  readonly lubricant: FieldModel;
  readonly lubricants: readonly string[];
  readonly rows: readonly {
    readonly number: number;
    readonly code: string;
    readonly codeName: string;
    readonly verdict: Shown;
    readonly last: string;
    readonly open: boolean;
    readonly fields: readonly FieldModel[];
    readonly repaired: TickModel;
  }[];
  readonly findings: readonly {
    readonly number: number;
    readonly open: boolean;
    readonly fields: readonly FieldModel[];
  }[];
  readonly measures: readonly FieldModel[];
  readonly measuresOpen: boolean;
  readonly notes: FieldModel;
  readonly cautions: readonly string[];
}

/** Chosen where nobody counted the washers of a pivot. */
export const NOT_COUNTED = 'not-counted';
/** What was done at the pivots that get no word of their own. */
export const OTHERS = ['oiled', 'looked', 'none'] as const;
const OTHERS_WORDS = {
  oiled: 'All oiled; they turn free and have their washers',
  looked: 'All looked at, not oiled; they turn free and have their washers',
  none: 'Not looked at',
} as const;
const KIND_WORDS: Readonly<Record<VisitKind, string>> = {
  lubrication: 'lubrication: the pivots oiled and their washers counted',
  settling: 'settling: a new top looked at after its first weeks',
  look: 'look: something looked at or measured',
  repair: 'repair',
};
export const KIND_CHOICES = Object.entries(KIND_WORDS);
const OUTCOMES: readonly (readonly [string, string])[] = [
  ['advised', 'advised, no answer yet'],
  ['accepted', 'the owner wants it done'],
  ['declined', 'the owner declined'],
  ['done', 'done on this visit'],
];
const LUBRICANTS = ['light machine oil', 'dry PTFE film', 'thin white grease'];
export const FINDINGS_SHOWN = 2;
export const FINDINGS_MORE = 3;
export const MOST_FINDINGS = 60;
const EN = localeOf('en-GB');

/**
 * The form for what was done on a visit: one row for each pivot in the order of its drawing, folded
 * up unless the pivot needs a look, so that an oiling without news takes one press.
 */
export function visitFormSheet(
  facts: VisitFormFacts,
  once: string,
  sent: Sent | null,
  kind: string,
): [Frame, VisitFormModel] {
  const { top, car, visit, today } = facts;
  const oils = (visit?.kind ?? kind) === 'lubrication';
  const { first, cautions } = cautionsFor('frame', 'springs');
  const measures = measureFields(sent);
  const model: VisitFormModel = {
    heading: headingOf(visit, oils),
    registration: car.registration,
    topHref: `/tops/${top.id}`,
    form: formOf(visit === null ? `/tops/${top.id}/visit` : `/visits/${visit.id}/done`, once, sent),
    version: String(visit?.version ?? ''),
    kind:
      visit === null
        ? choice(sent, 'kind', 'What kind of visit', KIND_CHOICES, { radio: true, value: kind })
        : null,
    doneOn: field(sent, 'doneOn', 'Day', {
      type: 'date',
      value: firstDay(visit?.plannedOn ?? today, facts),
      needed: true,
    }),
    minutes: field(sent, 'minutes', 'Minutes it took', { mode: 'numeric', value: visit?.minutes }),
    others: choice(
      sent,
      'others',
      'Pivots without a word of their own below',
      OTHERS.map((value) => [value, OTHERS_WORDS[value]]),
      { radio: true, value: oils ? 'oiled' : 'none' },
    ),
    lubricant: field(sent, 'lubricant', 'Lubricant, for all that were oiled', {
      value: usualLubricant(facts),
      list: 'lubricants',
      hint: 'Oil and grease off cloth, cables and webbing: they soak it up.',
    }),
    lubricants: LUBRICANTS,
    rows: facts.pivots.items.map((pivot, i) => rowModel(pivot, i, sent)),
    findings: findingModels(facts, sent),
    measures,
    measuresOpen: measures.some((one) => isUsed(one)),
    notes: field(sent, 'notes', 'Notes', { area: true, value: visit?.notes }),
    cautions: [first.en, ...cautions.map(({ hazard, show }) => `${hazard.en}. ${show.en}`)],
  };
  return [{ lang: 'en', title: 'Record a visit', nav: { here: 'tops' } }, model];
}

function headingOf(visit: VisitFormFacts['visit'], oils: boolean): string {
  if (visit !== null) return `The booked visit took place: ${visit.kind}`;
  return oils ? 'Record an oiling' : 'Record a visit';
}

/** A day on which the visit can have been: not to come, not after the top was retired. */
function firstDay(asked: Day, { top, today }: VisitFormFacts): Day {
  const latest = top.retiredOn !== null && top.retiredOn < today ? top.retiredOn : today;
  return asked > latest ? latest : asked;
}

/** What most pivots of the frame had last. */
function usualLubricant({ pivots }: VisitFormFacts): string {
  const counts = new Map<string, number>();
  for (const { lastReading } of pivots.items) {
    const name = lastReading?.lubricant ?? null;
    if (name !== null) counts.set(name, (counts.get(name) ?? 0) + 1);
  }
  const [usual] = [...counts].sort((a, b) => b[1] - a[1]);
  return usual?.[0] ?? '';
}

function rowModel(
  pivot: VisitFormFacts['pivots']['items'][number],
  i: number,
  sent: Sent | null,
): VisitFormModel['rows'][number] {
  const { code, washersExpected, lastReading, verdict } = pivot;
  const at = (name: string) => `readings/${i}/${name}`;
  const fewer = Array.from({ length: washersExpected }, (_, n) => String(washersExpected - 1 - n));
  const fields = [
    choice(sent, at('state'), 'Found', [['', 'nothing to say'], ...plainChoices(PIVOT_STATES)]),
    choice(sent, at('oil'), 'Oil', [
      ['', 'as the others'],
      ['yes', 'oiled'],
      ['no', 'not oiled'],
    ]),
    ...(washersExpected === 0
      ? []
      : [
          choice(sent, at('washersPresent'), 'Washers there', [
            ['', `all ${washersExpected}`],
            ...plainChoices(fewer),
            [NOT_COUNTED, 'not counted'],
          ]),
        ]),
    field(sent, at('axialPlayMm'), 'Axial play, mm', { mode: 'decimal' }),
    field(sent, at('radialPlayMm'), 'Radial play, mm', { mode: 'decimal' }),
  ];
  const repaired = tick(sent, at('repaired'), 'Repaired: new pin, bolt, bush or washers', false);
  return {
    number: i + 1,
    code,
    codeName: at('pivot'),
    verdict: lastReading === null ? 'unread' : verdict,
    last: lastReading === null ? 'not read yet' : lastInWords(lastReading, washersExpected),
    open:
      fields.some((one) => isUsed(one)) ||
      repaired.ticked ||
      (sent === null && atLeast(verdict, 'plan')),
    fields,
    repaired,
  };
}

function lastInWords(
  reading: NonNullable<VisitFormFacts['pivots']['items'][number]['lastReading']>,
  washersExpected: number,
): string {
  const { doneOn, state, washersPresent, axialPlayMm, radialPlayMm } = reading;
  const missing = washersPresent !== null && washersPresent < washersExpected;
  return [
    `${state} on ${EN.day(doneOn)}`,
    ...(missing ? [`${washersPresent} of ${washersExpected} washers`] : []),
    ...(axialPlayMm === null ? [] : [`axial ${axialPlayMm.toFixed(2)} mm`]),
    ...(radialPlayMm === null ? [] : [`radial ${radialPlayMm.toFixed(2)} mm`]),
  ].join(', ');
}

function findingModels({ pivots }: VisitFormFacts, sent: Sent | null): VisitFormModel['findings'] {
  const asked = Number(typedIn(sent, 'findings') ?? FINDINGS_SHOWN);
  const count = Number.isInteger(asked) ? Math.min(MOST_FINDINGS, Math.max(1, asked)) : 1;
  return Array.from({ length: count }, (_, i) => {
    const at = (name: string) => `findings/${i}/${name}`;
    const fields = [
      choice(sent, at('fault'), 'Fault', [
        ['', 'none of the list'],
        ...FAULTS.map(({ id, item }): [string, string] => [id, item]),
      ]),
      choice(sent, at('pivot'), 'At the pivot', [
        ['', 'none'],
        ...pivots.items.map(({ code }): [string, string] => [code, code]),
      ]),
      field(sent, at('text'), 'What was seen', { area: true }),
      field(sent, at('advised'), 'What was advised', { area: true }),
      choice(sent, at('outcome'), 'What came of it', OUTCOMES, { value: 'advised' }),
    ];
    const open = fields.some((one) => isUsed(one, one.name === at('outcome') ? 'advised' : ''));
    return { number: i + 1, open, fields };
  });
}

function measureFields(sent: Sent | null): FieldModel[] {
  const mode = { mode: 'decimal' };
  return [
    field(sent, 'swayMm', 'Sway at the header, mm', mode),
    field(sent, 'diagonalsMm/left', 'Diagonal to the left main bracket, mm', mode),
    field(sent, 'diagonalsMm/right', 'Diagonal to the right main bracket, mm', mode),
    field(sent, 'breakawayN', 'Force that starts the frame, N', mode),
  ];
}

/** Whether somebody said something in a field, or something is wrong with it. */
function isUsed({ value, fault }: FieldModel, first = ''): boolean {
  return fault !== '' || value !== first;
}
