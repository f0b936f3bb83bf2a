import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { hasRight } from '../../../domain/people/rights.ts';
import { LARGEST_PRICE, LARGEST_TAX_RATE } from '../../../domain/money/amount.ts';
import { currencyOf, isCurrency } from '../../../domain/money/currency.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { line } from '../../../usecases/records/record-fields.ts';
import { changePrices, showPrices } from '../../../usecases/stock/prices.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { readBy, textIn, unitsIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { pricesSheet, TAX_DIGITS } from './prices-sheet.ts';

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
  const page = async (
    { caller, voice }: { readonly caller: Visitor; readonly voice: Voice },
    done: string | undefined,
    sent: Sent | null,
  ) => {
    const view = {
      keeps: hasRight(caller, 'manage-organisation'),
      done,
      once: freshOnce(),
      sent,
    };
    const record = await showPrices(context, caller);
    return renderFor(caller, 'prices', ...pricesSheet(record, view, voice));
  };
  showPage(app, context, '/settings/prices', (asking) => page(asking, asking.query('done'), null));
  answerForm(app, context, {
    path: '/settings/prices',
    needs: 'manage-organisation',
    record: async ({ caller, form }) => {
      const code = textIn(form, 'currency') ?? '';
      const digits = isCurrency(code) ? currencyOf(code).digits : 2;
      const typed = readBy(prices, {
        currency: code,
        hourRate: unitsIn(form, 'hourRate', digits) ?? null,
        taxRate: unitsIn(form, 'taxRate', TAX_DIGITS) ?? null,
        taxName: textIn(form, 'taxName') ?? null,
      });
      await changePrices(context, caller, typed, versionIn(form));
      return { to: '/settings/prices?done=kept' };
    },
    show: (sending, sent) => page(sending, undefined, sent),
  });
}
