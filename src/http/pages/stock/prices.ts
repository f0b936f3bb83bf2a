import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { hasRight } from '../../../domain/people/rights.ts';
import {
  decimalOf,
  LARGEST_PRICE,
  LARGEST_TAX_RATE,
  shortDecimal,
} from '../../../domain/money/amount.ts';
import { CURRENCY_CODES, currencyOf, isCurrency } from '../../../domain/money/currency.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { line } from '../../../usecases/records/record-fields.ts';
import type { PricesRecord } from '../../../usecases/stock/prices.ts';
import { changePrices, showPrices } from '../../../usecases/stock/prices.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, typedIn } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { readBy, textIn, unitsIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { priceWords } from './stock-sheet.ts';

export interface PricesModel {
  readonly done: string;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  /** Null for whoever may not change them. */
  readonly form:
    | (FormModel & { readonly version: string; readonly fields: readonly FieldModel[] })
    | null;
}

/** Digits of a tax behind the point: 8.875 % has three. */
const TAX_DIGITS = 3;

const prices = z.strictObject({
  currency: z
    .string('Choose the currency of your prices.')
    .refine(isCurrency, 'Choose a currency of the list.'),
  hourRate: z
    .int('Give an amount, such as 85.50.')
    .max(LARGEST_PRICE, 'This is more than an estimate can hold.')
    .nullable(),
  taxRate: z
    .int('Give a rate in per cent, such as 19 or 8.875.')
    .max(LARGEST_TAX_RATE, 'A tax is not more than 100 per cent.')
    .nullable(),
  taxName: line(40).nullable(),
});

/** What an hour at the bench costs, in which currency, and which tax is added. */
export function pricesPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, done: string | undefined, sent: Sent | null) => {
    const looking = { keeps: hasRight(caller, 'keep-house'), done, once: freshOnce(), sent };
    const record = await showPrices(context, caller);
    return renderFor(caller, 'prices', ...pricesSheet(record, looking));
  };
  showPage(app, context, '/settings/prices', ({ caller, query }) =>
    page(caller, query('done'), null),
  );
  answerForm(app, context, {
    path: '/settings/prices',
    needs: 'keep-house',
    record: async ({ caller, form }) => {
      const code = textIn(form, 'currency') ?? '';
      const digits = isCurrency(code) ? currencyOf(code).digits : 2;
      const said = readBy(prices, {
        currency: code,
        hourRate: unitsIn(form, 'hourRate', digits) ?? null,
        taxRate: unitsIn(form, 'taxRate', TAX_DIGITS) ?? null,
        taxName: textIn(form, 'taxName') ?? null,
      });
      await changePrices(context, caller, said, versionIn(form));
      return { to: '/settings/prices?done=kept' };
    },
    show: ({ caller }, sent) => page(caller, undefined, sent),
  });
}

function pricesSheet(
  { currency, hourRate, taxRate, taxName, version }: PricesRecord,
  {
    keeps,
    done,
    once,
    sent,
  }: {
    readonly keeps: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
  },
): [Frame, PricesModel] {
  const rate = taxRate === null ? null : shortDecimal(taxRate, TAX_DIGITS);
  const fields = [
    choice(
      sent,
      'currency',
      'Currency',
      [['', 'choose one'] as const, ...CURRENCY_CODES.map((code) => [code, code] as const)],
      {
        value: currency ?? '',
        hint: 'With another currency the prices of parts are forgotten, since they were numbers of this one.',
      },
    ),
    field(sent, 'hourRate', 'An hour at the bench, without tax', {
      value:
        hourRate === null || currency === null
          ? ''
          : decimalOf(hourRate, currencyOf(currency).digits),
      mode: 'decimal',
      hint: 'Your own price. Foldkeep knows none and proposes none.',
    }),
    field(sent, 'taxRate', 'Tax added to it, in per cent', {
      value: rate ?? '',
      mode: 'decimal',
      hint: 'Left empty, no tax is added. Which tax you owe, your tax adviser knows.',
    }),
    field(sent, 'taxName', 'What owners call this tax', {
      value: taxName ?? '',
      hint: 'Stands beside its amount on estimates.',
    }),
  ];
  const model: PricesModel = {
    done: done === 'kept' ? 'Kept. Estimates that are made from now on use it.' : '',
    facts: [
      { label: 'Currency', value: currency ?? 'not said' },
      { label: 'An hour', value: priceWords(currency, hourRate) },
      { label: 'Tax', value: rate === null ? 'none added' : `${rate} %` },
    ],
    form: keeps
      ? {
          ...formOf('/settings/prices', once, sent, fields),
          version: typedIn(sent, 'version') ?? String(version),
          fields,
        }
      : null,
  };
  return [{ lang: 'en', title: 'Prices', nav: { here: 'settings' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly prices: PricesModel;
  }
}
