import { FAULTS } from '../../../domain/faults/fault-rows.ts';
import { lubricantFor, proposalInWords } from '../../../domain/pivots/lubricants.ts';
import { atLeast, PIVOT_STATES } from '../../../domain/pivots/state.ts';
import type { FieldModel, Sent, TickModel } from '../frame/form.ts';
import { choice, field, plainChoices, spokenChoices, tick, typedIn } from '../frame/form.ts';
import type { Shown } from '../../../views/pivot-map.ts';
import { FINDING_OUTCOMES } from '../../../usecases/own/visit-records.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { jointWords } from '../frame/finding-words.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';

/** The faults by the names that a voice has for them, in their order. */
function faultChoices({ tell, locale }: Voice): [string, string][] {
  return FAULTS.map(({ id, item }): [string, string] => [id, tell(item)]).sort((a, b) =>
    a[1].localeCompare(b[1], locale.tag),
  );
}

/** What can be said of one pivot on a visit. */
export interface RowModel {
  readonly number: number;
  readonly side: string;
  readonly code: string;
  readonly joint: string;
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
/**
 * The row of one pivot, unfolded where it has a word or needs a look; `mustStay` for one for whose sake
 * the top must not be moved, which wants a word of its own.
 */
export function rowModel(
  pivot: TopPageRecord['pivots']['items'][number],
  i: number,
  sent: Sent | null,
  mustStay: boolean,
  voice: Voice,
): RowModel {
  const { say } = voice;
  const joint = jointWords(voice, pivot.code);
  const { code, side, washersExpected, lastReading, verdict } = pivot;
  const at = (name: string) => `readings/${i}/${name}`;
  const fewer = Array.from({ length: washersExpected }, (_, n) => String(washersExpected - 1 - n));
  const fields = [
    choice(sent, at('state'), say('visit-row.state'), [
      ['', say('visit-row.state.none')],
      ...spokenChoices(voice, 'pivot-state', PIVOT_STATES),
    ]),
    choice(sent, at('oil'), say('visit-row.oil'), [
      ['', say('visit-row.oil.others')],
      ['yes', say('visit-row.oil.yes')],
      ['no', say('visit-row.oil.no')],
    ]),
    ...(washersExpected === 0
      ? []
      : [
          choice(sent, at('washersPresent'), say('visit-row.washers'), [
            ['', say('visit-row.washers.all', { count: String(washersExpected) })],
            ...plainChoices(fewer),
            [NOT_COUNTED, say('visit-row.washers.uncounted')],
          ]),
        ]),
    field(sent, at('axialPlayMm'), say('visit-row.axial'), { mode: 'decimal' }),
    field(sent, at('radialPlayMm'), say('visit-row.radial'), { mode: 'decimal' }),
  ];
  const oil = field(sent, at('lubricant'), say('visit-row.lubricant'), {
    value: voice.tell(lastReading?.lubricant ?? lubricantFor(pivot).name),
    list: 'lubricants',
    hint: voice.tell(proposalInWords(pivot)),
  });
  const repaired = tick(sent, at('repaired'), say('visit-row.repaired'), false);
  return {
    number: i + 1,
    side,
    code,
    codeName: at('pivot'),
    aloneName: verdict === 'act' || mustStay ? at(ALONE) : null,
    verdict: lastReading === null ? 'unread' : verdict,
    joint,
    last:
      lastReading === null ? say('last.unread') : lastInWords(lastReading, washersExpected, voice),
    open:
      fields.some((one) => isUsed(one)) ||
      repaired.ticked ||
      (sent === null && (mustStay || atLeast(verdict, 'plan'))),
    fields: called(joint, [...fields, oil], voice),
    repaired,
  };
}

function lastInWords(
  reading: NonNullable<TopPageRecord['pivots']['items'][number]['lastReading']>,
  washersExpected: number,
  { say, locale }: Voice,
): string {
  const { doneOn, state, washersPresent, axialPlayMm, radialPlayMm } = reading;
  const missing = washersPresent !== null && washersPresent < washersExpected;
  const counted = { count: String(washersPresent), all: String(washersExpected) };
  return [
    say('last.state', { state: say(`pivot-state.${state}`), day: locale.numericDay(doneOn) }),
    ...(missing ? [say('visit-row.last.washers', counted)] : []),
    ...(axialPlayMm === null
      ? []
      : [say('visit-row.last.axial', { mm: locale.hundredths(axialPlayMm) })]),
    ...(radialPlayMm === null
      ? []
      : [say('visit-row.last.radial', { mm: locale.hundredths(radialPlayMm) })]),
  ].join(', ');
}

/** Room for faults, as much as was asked for. */
export function findingModels(
  codes: readonly string[],
  sent: Sent | null,
  voice: Voice,
): FindingModel[] {
  const { say } = voice;
  const faults = faultChoices(voice);
  const asked = Number(typedIn(sent, 'findings') ?? FINDINGS_SHOWN);
  const count = Number.isInteger(asked) ? Math.min(MOST_FINDINGS, Math.max(1, asked)) : 1;
  return Array.from({ length: count }, (_, i) => {
    const at = (name: string) => `findings/${i}/${name}`;
    const fields = [
      choice(sent, at('fault'), say('visit-row.fault'), [
        ['', say('visit-row.fault.none')],
        ...faults,
      ]),
      choice(sent, at('pivot'), say('visit-row.pivot'), [
        ['', say('visit-row.pivot.none')],
        ...codes.map((code): [string, string] => [
          code,
          say('visit-row.pivot.code', { joint: jointWords(voice, code), code }),
        ]),
      ]),
      field(sent, at('text'), say('visit-row.text'), { area: true }),
      field(sent, at('advised'), say('visit-row.advised'), { area: true }),
      choice(
        sent,
        at('outcome'),
        say('visit-row.outcome'),
        spokenChoices(voice, 'visit-row.outcome', FINDING_OUTCOMES),
        { value: 'advised' },
      ),
    ];
    const open = fields.some((one) => isUsed(one, one.name === at('outcome') ? 'advised' : ''));
    return {
      number: i + 1,
      open,
      fields: called(say('visit-form.fault', { number: String(i + 1) }), fields, voice),
    };
  });
}

/** The fields of a row, each with the name of the row where it is spoken of elsewhere. */
function called(
  row: string,
  fields: readonly FieldModel[],
  { say, language }: Voice,
): FieldModel[] {
  // German nouns keep their capital wherever they stand.
  const inside = (label: string) => (language === 'en' ? label.toLowerCase() : label);
  return fields.map((one) => ({
    ...one,
    called: say('visit-row.called', { row, field: inside(one.label) }),
  }));
}

/** Whether somebody said something in a field, or something is wrong with it. */
export function isUsed({ value, fault }: FieldModel, first = ''): boolean {
  return fault !== '' || value !== first;
}
