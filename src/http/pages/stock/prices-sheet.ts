import { decimalOf, shortDecimal } from '../../../domain/money/amount.ts';
import { CURRENCY_CODES, currencyOf } from '../../../domain/money/currency.ts';
import type { PricesRecord } from '../../../usecases/stock/prices.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, typedIn } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
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
export const TAX_DIGITS = 3;

/** What work costs, and the form that says so. */
export function pricesSheet(
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
  voice: Voice,
): [Frame, PricesModel] {
  const { say } = voice;
  const rate = taxRate === null ? null : shortDecimal(taxRate, TAX_DIGITS);
  const fields = [
    choice(
      sent,
      'currency',
      say('prices.currency'),
      [
        ['', say('prices.currency.choose')] as const,
        ...CURRENCY_CODES.map((code) => [code, code] as const),
      ],
      {
        value: currency ?? '',
        hint: say('prices.currency.hint'),
      },
    ),
    field(sent, 'hourRate', say('prices.hour'), {
      value:
        hourRate === null || currency === null
          ? ''
          : decimalOf(hourRate, currencyOf(currency).digits),
      mode: 'decimal',
      hint: say('prices.hour.hint'),
    }),
    field(sent, 'taxRate', say('prices.tax'), {
      value: rate ?? '',
      mode: 'decimal',
      hint: say('prices.tax.hint'),
    }),
    field(sent, 'taxName', say('prices.tax.name'), {
      value: taxName ?? '',
      hint: say('prices.tax.name.hint'),
    }),
  ];
  const model: PricesModel = {
    done: done === 'kept' ? say('prices.done') : '',
    facts: [
      { label: say('prices.currency'), value: currency ?? say('stock.unsaid') },
      { label: say('prices.fact.hour'), value: priceWords(currency, hourRate, voice) },
      {
        label: say('prices.fact.tax'),
        value:
          taxRate === null
            ? say('prices.fact.tax.none')
            : `${voice.locale.number(taxRate / 1000)} %`,
      },
    ],
    form: keeps
      ? {
          ...formOf('/settings/prices', once, sent, fields),
          version: typedIn(sent, 'version') ?? String(version),
          fields,
        }
      : null,
  };
  return [{ lang: voice.language, title: say('prices.title'), nav: { here: 'settings' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly prices: PricesModel;
  }
}
