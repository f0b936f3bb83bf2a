import { z } from 'zod';
import { LARGEST_PRICE } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import { LARGEST_QUANTITY } from '../../../domain/money/sums.ts';
import type { EstimateChange } from '../../../usecases/estimates/make-estimate.ts';
import { prose } from '../../../usecases/records/record-fields.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { readBy, textIn, unitsIn } from '../shop/form-body.ts';
import { partsIn, worksIn } from './estimate-rows.ts';

/** Digits behind the point of hours and pieces. */
const QUANTITY_DIGITS = 2;

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
