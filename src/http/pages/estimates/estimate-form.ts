import { z } from 'zod';
import { decimalOf, LARGEST_PRICE, shortDecimal } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import { LARGEST_QUANTITY } from '../../../domain/money/sums.ts';
import type {
  EstimateLineRecord,
  EstimateRecord,
} from '../../../usecases/estimates/estimate-records.ts';
import type { EstimateChange } from '../../../usecases/estimates/make-estimate.ts';
import { prose } from '../../../usecases/records/record-fields.ts';
import type { FieldModel, Sent } from '../frame/form.ts';
import { field, typedIn } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { readBy, textIn, unitsIn } from '../shop/form-body.ts';

const QUANTITY_DIGITS = 2;
const MOST_WORKS = 60;
const MOST_PARTS = 20;

const quantity = (words: string) => z.int(words).max(LARGEST_QUANTITY, 'So much cannot be right.');
const price = z
  .int('Give an amount, such as 8.50.')
  .max(LARGEST_PRICE, 'This is more than an estimate can hold.')
  .nullable();
const text = z.string('Say what it is.').pipe(prose(1_000));
const id = z.string().max(64).optional();
const change = z.strictObject({
  words: prose(2_000).nullable(),
  works: z.array(
    z.strictObject({
      id,
      text,
      hours: quantity('Give hours, such as 1.5.'),
      rate: price,
      parts: z.array(
        z.strictObject({ id, text, pieces: quantity('Give a number of pieces.'), price }),
      ),
    }),
  ),
  coverOff: z.strictObject({ hours: quantity('Give hours, such as 4.'), rate: price }).nullable(),
});

/** The lines that a form says, empty ones left out. */
export function changeIn(form: SmallForm, currency: string): EstimateChange {
  const { digits } = currencyOf(currency);
  const number = (name: string) => unitsIn(form, name, QUANTITY_DIGITS) ?? 0;
  const amount = (name: string) => unitsIn(form, name, digits) ?? null;
  return readBy(change, {
    words: textIn(form, 'words') ?? null,
    works: worksIn(form).map((at) => ({
      id: textIn(form, `${at}/id`),
      text: textIn(form, `${at}/text`),
      hours: number(`${at}/hours`),
      rate: amount(`${at}/rate`),
      parts: partsIn(form, at).map((part) => ({
        id: textIn(form, `${part}/id`),
        text: textIn(form, `${part}/text`),
        pieces: number(`${part}/pieces`),
        price: amount(`${part}/price`),
      })),
    })),
    coverOff: Object.hasOwn(form, 'coverOff/hours')
      ? { hours: number('coverOff/hours'), rate: amount('coverOff/rate') }
      : null,
  });
}

/** The field that a pointer of a refusal means: empty rows were left out before it was read. */
export function fieldAt(pointer: string, form: SmallForm): string | null {
  const [, work, rest = ''] = /^#\/works\/(\d+)\/(.+)$/.exec(pointer) ?? [];
  if (work === undefined) return pointer.startsWith('#/') ? pointer.slice(2) : null;
  const at = worksIn(form)[Number(work)] ?? '';
  const [, part, name] = /^parts\/(\d+)\/(.+)$/.exec(rest) ?? [];
  return part === undefined ? `${at}/${rest}` : `${partsIn(form, at)[Number(part)] ?? ''}/${name}`;
}

function worksIn(form: SmallForm): string[] {
  return rowsIn(form, 'works', MOST_WORKS).filter(
    (at) => partsIn(form, at).length > 0 || isFilled(form, at),
  );
}

function partsIn(form: SmallForm, at: string): string[] {
  return rowsIn(form, `${at}/parts`, MOST_PARTS).filter((part) => isFilled(form, part));
}

function rowsIn(form: SmallForm, name: string, most: number): string[] {
  return Array.from({ length: most }, (_, i) => `${name}/${i}`).filter((at) =>
    Object.hasOwn(form, `${at}/text`),
  );
}

function isFilled(form: SmallForm, at: string): boolean {
  return textIn(form, `${at}/text`) !== undefined;
}

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
export function draftFields(estimate: EstimateRecord, sent: Sent | null): DraftFieldsModel {
  const { lines, currency } = estimate;
  const works = lines.filter(({ kind }) => kind === 'work');
  const rows: (EstimateLineRecord | null)[] =
    sent === null
      ? [...works, null]
      : rowsIn(sent.typed, 'works', MOST_WORKS).map((_, i) => works[i] ?? null);
  const models = rows.map((work, i) => {
    const own =
      work === null ? [] : lines.filter((one) => one.kind === 'part' && one.work === work.work);
    const at = `works/${i}`;
    const typedParts =
      sent === null ? own.length + 1 : rowsIn(sent.typed, `${at}/parts`, MOST_PARTS).length;
    return {
      ...workRow(at, work, currency, sent),
      heading: work === null ? 'More work' : `Work ${i + 1}`,
      parts: Array.from({ length: typedParts }, (_, j) =>
        partRow(`${at}/parts/${j}`, own[j] ?? null, currency, sent),
      ),
    };
  });
  const cover = lines.find(({ kind }) => kind === 'cover-off');
  const coverOff =
    cover === undefined
      ? []
      : [
          hoursField(sent, 'coverOff/hours', cover),
          rateField(sent, 'coverOff/rate', 'An hour', cover, currency),
        ];
  const words = field(sent, 'words', 'What you say to the owner besides', {
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
): RowModel {
  return {
    at,
    id: typedIn(sent, `${at}/id`) ?? line?.id ?? '',
    fields: [
      field(sent, `${at}/text`, 'What is done', { value: line?.text, area: true }),
      hoursField(sent, `${at}/hours`, line),
      rateField(sent, `${at}/rate`, 'An hour', line, currency),
    ],
  };
}

function partRow(
  at: string,
  line: EstimateLineRecord | null,
  currency: string,
  sent: Sent | null,
): RowModel {
  return {
    at,
    id: typedIn(sent, `${at}/id`) ?? line?.id ?? '',
    fields: [
      field(sent, `${at}/text`, 'Part', { value: line?.text }),
      field(sent, `${at}/pieces`, 'Pieces', {
        value: line === null ? '' : shortDecimal(line.quantity, QUANTITY_DIGITS),
        mode: 'decimal',
      }),
      rateField(sent, `${at}/price`, 'A piece', line, currency),
    ],
  };
}

function hoursField(sent: Sent | null, name: string, line: EstimateLineRecord | null): FieldModel {
  return field(sent, name, 'Hours', {
    value: line === null ? '' : shortDecimal(line.quantity, QUANTITY_DIGITS),
    mode: 'decimal',
  });
}

function rateField(
  sent: Sent | null,
  name: string,
  label: string,
  line: EstimateLineRecord | null,
  currency: string,
): FieldModel {
  const { digits } = currencyOf(currency);
  const unit = line?.unitPrice ?? null;
  return field(sent, name, `${label} (${currency})`, {
    value: unit === null ? '' : decimalOf(unit, digits),
    mode: 'decimal',
    ...(line !== null && unit === null ? { hint: 'Not said yet.' } : {}),
  });
}
