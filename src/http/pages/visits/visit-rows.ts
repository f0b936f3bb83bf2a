import { FAULTS } from '../../../domain/faults/fault-rows.ts';
import { lubricantFor, proposalInWords } from '../../../domain/pivots/lubricants.ts';
import { atLeast, PIVOT_STATES } from '../../../domain/pivots/state.ts';
import type { FieldModel, Sent, TickModel } from '../frame/form.ts';
import { choice, field, plainChoices, tick, typedIn } from '../frame/form.ts';
import type { Shown } from '../../../views/pivot-map.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';

const FAULT_CHOICES = FAULTS.map(({ id, item }): [string, string] => [id, item]).sort((a, b) =>
  a[1].localeCompare(b[1], 'en'),
);

/** What can be said of one pivot on a visit. */
export interface RowModel {
  readonly number: number;
  readonly side: string;
  readonly code: string;
  readonly codeName: string;
  /** The hidden field by which a joint that must not be used asks for a word of its own; or null. */
  readonly aloneName: string | null;
  readonly verdict: Shown;
  readonly last: string;
  readonly open: boolean;
  readonly fields: readonly FieldModel[];
  readonly repaired: TickModel;
}

/** One fault that was found. */
export interface FindingModel {
  readonly number: number;
  readonly open: boolean;
  readonly fields: readonly FieldModel[];
}

/** Marks a pivot that what is said of all others is not said of. */
export const ALONE = 'alone';
/** Chosen where nobody counted the washers of a pivot. */
export const NOT_COUNTED = 'not-counted';
export const FINDINGS_SHOWN = 2;
export const FINDINGS_MORE = 3;
export const MOST_FINDINGS = 60;
const OUTCOMES: readonly (readonly [string, string])[] = [
  ['advised', 'advised, no answer yet'],
  ['accepted', 'the owner wants it done'],
  ['declined', 'the owner declined'],
  ['done', 'done on this visit'],
];

/**
 * The row of one pivot, unfolded where it has a word or needs a look; `mustStay` for one for whose sake
 * the top must not be moved, which wants a word of its own.
 */
export function rowModel(
  pivot: TopPageRecord['pivots']['items'][number],
  i: number,
  sent: Sent | null,
  mustStay: boolean,
): RowModel {
  const { code, side, washersExpected, lastReading, verdict } = pivot;
  const at = (name: string) => `readings/${i}/${name}`;
  const fewer = Array.from({ length: washersExpected }, (_, n) => String(washersExpected - 1 - n));
  const fields = [
    choice(sent, at('state'), 'Found', [['', 'no word'], ...plainChoices(PIVOT_STATES)]),
    choice(sent, at('oil'), 'Oil', [
      ['', 'as others'],
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
  const oil = field(sent, at('lubricant'), 'Lubricant', {
    value: lastReading?.lubricant ?? lubricantFor(pivot).name,
    list: 'lubricants',
    hint: proposalInWords(pivot),
  });
  const repaired = tick(sent, at('repaired'), 'Repaired: new pin, bolt, bush or washers', false);
  return {
    number: i + 1,
    side,
    code,
    codeName: at('pivot'),
    aloneName: verdict === 'act' || mustStay ? at(ALONE) : null,
    verdict: lastReading === null ? 'unread' : verdict,
    last: lastReading === null ? 'not read yet' : lastInWords(lastReading, washersExpected),
    open:
      fields.some((one) => isUsed(one)) ||
      repaired.ticked ||
      (sent === null && (mustStay || atLeast(verdict, 'plan'))),
    fields: called(code, [...fields, oil]),
    repaired,
  };
}

function lastInWords(
  reading: NonNullable<TopPageRecord['pivots']['items'][number]['lastReading']>,
  washersExpected: number,
): string {
  const { doneOn, state, washersPresent, axialPlayMm, radialPlayMm } = reading;
  const missing = washersPresent !== null && washersPresent < washersExpected;
  return [
    `${state}, ${doneOn}`,
    ...(missing ? [`${washersPresent} of ${washersExpected} washers`] : []),
    ...(axialPlayMm === null ? [] : [`axial ${axialPlayMm.toFixed(2)} mm`]),
    ...(radialPlayMm === null ? [] : [`radial ${radialPlayMm.toFixed(2)} mm`]),
  ].join(', ');
}

/** Room for faults, as much as was asked for. */
export function findingModels(codes: readonly string[], sent: Sent | null): FindingModel[] {
  const asked = Number(typedIn(sent, 'findings') ?? FINDINGS_SHOWN);
  const count = Number.isInteger(asked) ? Math.min(MOST_FINDINGS, Math.max(1, asked)) : 1;
  return Array.from({ length: count }, (_, i) => {
    const at = (name: string) => `findings/${i}/${name}`;
    const fields = [
      choice(sent, at('fault'), 'Fault', [['', 'none of the list'], ...FAULT_CHOICES]),
      choice(sent, at('pivot'), 'At the pivot', [
        ['', 'none'],
        ...codes.map((code): [string, string] => [code, code]),
      ]),
      field(sent, at('text'), 'What was seen', { area: true }),
      field(sent, at('advised'), 'What was advised', { area: true }),
      choice(sent, at('outcome'), 'What came of it', OUTCOMES, { value: 'advised' }),
    ];
    const open = fields.some((one) => isUsed(one, one.name === at('outcome') ? 'advised' : ''));
    return { number: i + 1, open, fields: called(`Fault ${i + 1}`, fields) };
  });
}

/** The fields of a row, each with the name of the row where it is spoken of elsewhere. */
function called(row: string, fields: readonly FieldModel[]): FieldModel[] {
  return fields.map((one) => ({ ...one, called: `${row}, ${one.label.toLowerCase()}` }));
}

/** Whether somebody said something in a field, or something is wrong with it. */
export function isUsed({ value, fault }: FieldModel, first = ''): boolean {
  return fault !== '' || value !== first;
}
