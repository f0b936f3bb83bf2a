import { voiceFor } from '../../../views/words/voice.ts';
import type { VisitKind } from '../../../domain/bench/minutes.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { LUBRICANTS } from '../../../domain/pivots/lubricants.ts';
import { cautionsFor } from '../../../domain/cautions/cautions.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf } from '../frame/form.ts';
import { KEEP_SCRIPT } from '../frame/script.ts';
import type { Frame } from '../frame/frame.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import type { VisitRecord } from '../../../usecases/own/visit-records.ts';
import type { FindingModel, RowModel } from './visit-rows.ts';
import { findingModels, isUsed, rowModel } from './visit-rows.ts';

export interface VisitFormFacts extends TopPageRecord {
  /** The booking that is completed; null for a visit that nobody booked. */
  readonly visit: VisitRecord | null;
}

export interface VisitFormModel extends ShopStay {
  readonly heading: string;
  readonly registration: string;
  readonly topHref: string;
  /** Empty at the bench of a care day. */
  readonly workHref: string;
  readonly form: FormModel;
  readonly button: string;
  /** How the visit stands now, where two put it right at once. */
  readonly standing: readonly string[];
  readonly version: string;
  readonly kind: FieldModel | null;
  readonly doneOn: FieldModel;
  readonly minutes: FieldModel;
  readonly others: FieldModel;
  readonly lubricant: FieldModel;
  readonly lubricants: readonly string[];
  /** Empty for a top that is folded by hand. */
  readonly hydraulics: readonly string[];
  /** The pivots by side, each side in the order of its drawing. */
  readonly sides: readonly { readonly name: string; readonly rows: readonly RowModel[] }[];
  readonly findings: readonly FindingModel[];
  readonly measures: readonly FieldModel[];
  readonly measuresOpen: boolean;
  readonly notes: FieldModel;
  readonly cautions: readonly string[];
}

/** A done visit that is put right, with what stands of it now where somebody else changed it. */
export interface Corrected {
  readonly id: string;
  readonly version: number;
  readonly standing: readonly string[];
}

/** The bench of a care day: whoever helps there has no other pages to go to. */
export interface Bench {
  readonly action: string;
  readonly back: string;
}

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
const SIDES = [
  { side: 'L', name: 'Left' },
  { side: 'R', name: 'Right' },
] as const;
const NAMES = Object.values(LUBRICANTS).map(({ name }) => name);

/** What is looked at besides on a powered top; from memory, as repair manuals have it. */
const HYDRAULICS = [
  'Fluid: its level is read with the top down, at the lower edge of the filler hole of many reservoirs; once a year. Only what the maker names, never two kinds.',
  'Rods: a thin film of oil on them is normal, a run is a leak.',
  'Slow, or one side late: low fluid, air in it, or a weak supply. Do not keep it pumping dry.',
  'Motor silent: supply, fuse, the switches of lid and latches, a pump that stood in water.',
  'Lid not releasing: nothing is forced over it; look for part of the frame that stands proud.',
  'Never reach into a frame that stands half way: it may sink by itself.',
];

/**
 * The form for what was done on a visit: one row for each pivot in the order of its drawing, folded
 * up unless the pivot needs a look, so that an oiling without news takes one press.
 */
export function visitFormSheet(
  facts: VisitFormFacts,
  once: string,
  sent: Sent | null,
  kind: string,
  corrected: Corrected | null = null,
  bench: Bench | null = null,
): [Frame, VisitFormModel] {
  const { top, car, visit, today } = facts;
  const oils = (visit?.kind ?? kind) === 'lubrication';
  const { first, cautions } = cautionsFor('frame', 'springs');
  const kinds =
    visit === null
      ? choice(sent, 'kind', 'What kind of visit', KIND_CHOICES, { radio: true, value: kind })
      : null;
  const doneOn = field(sent, 'doneOn', 'Day', {
    type: 'date',
    value: firstDay(visit?.plannedOn ?? today, facts),
    needed: true,
  });
  const minutes = field(sent, 'minutes', 'Minutes it took', {
    mode: 'numeric',
    value: visit?.minutes,
  });
  const others = choice(
    sent,
    'others',
    'Pivots without a word of their own below',
    OTHERS.map((value) => [value, OTHERS_WORDS[value]]),
    { radio: true, value: oils ? 'oiled' : 'none' },
  );
  const lubricant = field(
    sent,
    'lubricant',
    'One lubricant for all, instead of the proposed ones',
    {
      list: 'lubricants',
      hint: 'Left empty, each joint that was oiled is noted with its own, below. Oil and grease off cloth, cables and webbing: they soak it up.',
    },
  );
  const bad = new Set(top.mayMove.reasons.map((reason) => reason.pivot));
  const rows = facts.pivots.items.map((pivot, i) =>
    rowModel(pivot, i, sent, top.mayMove.verdict === 'leave' && bad.has(pivot.code)),
  );
  const codes = facts.pivots.items.map(({ code }) => code);
  const findings = findingModels(codes, sent);
  const measures = measureFields(sent);
  const notes = field(sent, 'notes', 'Notes', { area: true, value: visit?.notes });
  const fields = [
    ...(kinds === null ? [] : [kinds]),
    doneOn,
    minutes,
    others,
    lubricant,
    ...[...rows, ...findings].flatMap((one) => one.fields),
    ...measures,
    notes,
  ];
  const action =
    bench?.action ??
    (corrected !== null
      ? `/visits/${corrected.id}/correct`
      : visit === null
        ? `/tops/${top.id}/visit`
        : `/visits/${visit.id}/done`);
  const model: VisitFormModel = {
    ...shopStay(car.registration, top.mayMove, voiceFor('en')),
    heading: corrected === null ? headingOf(visit, oils) : 'Put a visit right',
    button: corrected === null ? 'Record the visit' : 'Keep this',
    standing: corrected?.standing ?? [],
    registration: car.registration,
    topHref: bench?.back ?? `/tops/${top.id}`,
    workHref: bench === null ? `/cars/${car.id}/work` : '',
    form: formOf(action, once, sent, fields),
    version: String((corrected ?? visit)?.version ?? ''),
    kind: kinds,
    doneOn,
    minutes,
    others,
    lubricant,
    lubricants: NAMES,
    hydraulics: top.powered ? HYDRAULICS : [],
    sides: SIDES.flatMap(({ side, name }) => {
      const own = rows.filter((row) => row.side === side);
      return own.length === 0 ? [] : [{ name, rows: own }];
    }),
    findings,
    measures,
    measuresOpen: measures.some((one) => isUsed(one)),
    notes,
    cautions: [first.en, ...cautions.map(({ hazard, show }) => `${hazard.en}. ${show.en}`)],
  };
  const script = KEEP_SCRIPT.address;
  const nav = bench === null ? { here: 'tops' } : null;
  return [{ lang: 'en', title: 'Record a visit', script, nav }, model];
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

function measureFields(sent: Sent | null): FieldModel[] {
  const mode = { mode: 'decimal' };
  return [
    field(sent, 'swayMm', 'Sway at the header, mm', mode),
    field(sent, 'diagonalsMm/left', 'Diagonal to the left main bracket, mm', mode),
    field(sent, 'diagonalsMm/right', 'Diagonal to the right main bracket, mm', mode),
    field(sent, 'breakawayN', 'Force that starts the frame, N', mode),
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'visit-form': VisitFormModel;
  }
}
