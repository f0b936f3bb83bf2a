import { decimalOf, shortDecimal } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import type {
  EstimateLineRecord,
  EstimateRecord,
} from '../../../usecases/estimates/estimate-records.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, Sent } from '../frame/form.ts';
import { field, typedIn } from '../frame/form.ts';
import { rowsIn } from './estimate-rows.ts';

const QUANTITY_DIGITS = 2;

/** A row of the form, with the line that it began as. */
interface RowModel {
  readonly at: string;
  readonly id: string;
  readonly fields: readonly FieldModel[];
}

export interface DraftFieldsModel {
  readonly works: readonly (RowModel & { readonly heading: string; readonly parts: RowModel[] })[];
  readonly coverOff: readonly FieldModel[];
  readonly words: FieldModel;
  readonly all: readonly FieldModel[];
}

/** The fields of a draft, an empty row behind the parts of each work and an empty work at the end. */
export function draftFields(
  estimate: EstimateRecord,
  sent: Sent | null,
  voice: Voice,
): DraftFieldsModel {
  const { say } = voice;
  const { lines, currency } = estimate;
  const works = lines.filter(({ kind }) => kind === 'work');
  const rows: (EstimateLineRecord | null)[] =
    sent === null ? [...works, null] : rowsIn(sent.typed, 'works').map((_, i) => works[i] ?? null);
  const models = rows.map((work, i) => {
    const own =
      work === null ? [] : lines.filter((one) => one.kind === 'part' && one.work === work.work);
    const at = `works/${i}` as const;
    const typedParts = sent === null ? own.length + 1 : rowsIn(sent.typed, `${at}/parts`).length;
    return {
      ...workRow(at, work, currency, sent, voice),
      heading:
        work === null
          ? say('estimates.field.more')
          : say('estimates.field.work', { number: String(i + 1) }),
      parts: Array.from({ length: typedParts }, (_, j) =>
        partRow(`${at}/parts/${j}`, own[j] ?? null, currency, sent, voice),
      ),
    };
  });
  const cover = lines.find(({ kind }) => kind === 'cover-off');
  const coverOff =
    cover === undefined
      ? []
      : [
          hoursField(sent, 'coverOff/hours', cover, voice),
          rateField(sent, 'coverOff/rate', 'hour', cover, currency, voice),
        ];
  const words = field(sent, 'words', say('estimates.field.words'), {
    value: estimate.words,
    area: true,
  });
  const all = [
    ...models.flatMap(({ fields, parts }) => [...fields, ...parts.flatMap((part) => part.fields)]),
    ...coverOff,
    words,
  ];
  return { works: models, coverOff, words, all };
}

function workRow(
  at: string,
  line: EstimateLineRecord | null,
  currency: string,
  sent: Sent | null,
  voice: Voice,
): RowModel {
  return rowOf(at, line, sent, [
    field(sent, `${at}/text`, voice.say('estimates.field.what'), { value: line?.text, area: true }),
    hoursField(sent, `${at}/hours`, line, voice),
    rateField(sent, `${at}/rate`, 'hour', line, currency, voice),
  ]);
}

function partRow(
  at: string,
  line: EstimateLineRecord | null,
  currency: string,
  sent: Sent | null,
  voice: Voice,
): RowModel {
  const { say } = voice;
  return rowOf(at, line, sent, [
    field(sent, `${at}/text`, say('estimates.field.part'), { value: line?.text }),
    amountField(sent, `${at}/pieces`, say('estimates.field.pieces'), line),
    rateField(sent, `${at}/price`, 'piece', line, currency, voice),
  ]);
}

function rowOf(
  at: string,
  line: EstimateLineRecord | null,
  sent: Sent | null,
  fields: readonly FieldModel[],
): RowModel {
  return { at, id: typedIn(sent, `${at}/id`) ?? line?.id ?? '', fields };
}

function hoursField(
  sent: Sent | null,
  name: string,
  line: EstimateLineRecord | null,
  { say }: Voice,
): FieldModel {
  return amountField(sent, name, say('estimates.field.hours'), line);
}

function amountField(
  sent: Sent | null,
  name: string,
  label: string,
  line: EstimateLineRecord | null,
): FieldModel {
  return field(sent, name, label, {
    value: line === null ? '' : shortDecimal(line.quantity, QUANTITY_DIGITS),
    mode: 'decimal',
  });
}

function rateField(
  sent: Sent | null,
  name: string,
  of: 'hour' | 'piece',
  line: EstimateLineRecord | null,
  currency: string,
  { say }: Voice,
): FieldModel {
  const { digits } = currencyOf(currency);
  const unit = line?.unitPrice ?? null;
  return field(sent, name, say(`estimates.field.${of}`, { currency }), {
    value: unit === null ? '' : decimalOf(unit, digits),
    mode: 'decimal',
    ...(line !== null && unit === null ? { hint: say('estimates.field.unsaid') } : {}),
  });
}
