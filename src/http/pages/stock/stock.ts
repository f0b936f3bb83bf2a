import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { LARGEST_PRICE } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import { PARTS, type Part } from '../../../domain/parts/kits.ts';
import { notFound } from '../../../domain/refusal.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { day, line } from '../../../usecases/records/record-fields.ts';
import { changeStock } from '../../../usecases/stock/change-stock.ts';
import { orderPart, settlePartOrder } from '../../../usecases/stock/orders.ts';
import { showPrices } from '../../../usecases/stock/prices.ts';
import { readPartPage, readStockPage } from '../../../usecases/stock/stock-page.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { dayIn, numberIn, readBy, textIn, unitsIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { mayRecord, renderFor, showPage } from '../shop/shop-page.ts';
import { type PartSent, partSheet } from './part-sheet.ts';
import { stockSheet } from './stock-sheet.ts';

const pieces = z
  .int('Give a whole number of pieces.')
  .min(1, 'Give at least one piece.')
  .max(100_000, 'So many cannot be right.');
const count = z.strictObject({
  inHand: z
    .int('Give a whole number of pieces.')
    .min(0, 'Pieces cannot be fewer than none.')
    .max(100_000, 'So many cannot be right.'),
  leadWeeks: z
    .number('Give a number of weeks.')
    .min(0, 'A lead time cannot be negative.')
    .max(52, 'More than a year cannot be right. Give weeks.')
    .nullable(),
  unitPrice: z
    .int('Give an amount, such as 8.50.')
    .max(LARGEST_PRICE, 'This is more than an estimate can hold.')
    .nullable()
    .optional(),
});
const order = z.strictObject({
  pieces,
  orderedOn: day.optional(),
  expectedOn: day.optional(),
  words: line(200).optional(),
});
const fate = z.discriminatedUnion('fate', [
  z.strictObject({ fate: z.literal('received'), pieces: pieces.min(0) }),
  z.strictObject({ fate: z.literal('called-off') }),
  z.strictObject({ fate: z.literal('underway') }),
]);

type Speaking = { readonly caller: Visitor; readonly voice: Voice };

/** What is in hand, on its way and to be ordered; counted, ordered and received part by part. */
export function stockPages(app: FastifyInstance, context: Context): void {
  const list = async (
    { caller, voice }: Speaking,
    done: string | undefined,
    sent: Sent | null,
    orderId = '',
  ) => {
    const view = { records: mayRecord(caller), done, once: freshOnce(), sent, orderId };
    const facts = await readStockPage(context, caller);
    return renderFor(caller, 'stock', ...stockSheet(facts, view, voice));
  };
  const page = async (
    { caller, voice }: Speaking,
    part: Part,
    done: string | undefined,
    came: PartSent | null,
  ) => {
    const view = { records: mayRecord(caller), done, once: freshOnce(), came };
    const facts = await readPartPage(context, caller, part);
    return renderFor(caller, 'stock-part', ...partSheet(facts, view, voice));
  };
  showPage(app, context, '/stock', (asking) => list(asking, asking.query('done'), null));
  showPage(app, context, '/stock/:id', (asking) =>
    page(asking, partOf(asking.id), asking.query('done'), null),
  );
  answerForm(app, context, {
    path: '/stock/:id/count',
    record: async ({ caller, params, form }) => {
      const part = partOf(params.id);
      const { currency } = await showPrices(context, caller);
      const price = currency === null ? {} : { unitPrice: priceIn(form, currency) };
      const typed = readBy(count, {
        inHand: numberIn(form, 'inHand'),
        leadWeeks: numberIn(form, 'leadWeeks') ?? null,
        ...price,
      });
      const version = versionIn(form);
      await changeStock(context, caller, part, typed, version === 0 ? null : version);
      return { to: `/stock/${part}?done=counted` };
    },
    show: (sending, sent) =>
      page(sending, partOf(sending.params.id), undefined, { form: 'count', sent }),
  });
  answerForm(app, context, {
    path: '/stock/:id/order',
    record: async ({ caller, params, form, voice }) => {
      const part = partOf(params.id);
      const typed = readBy(order, {
        pieces: numberIn(form, 'pieces'),
        orderedOn: dayIn(form, 'orderedOn', voice),
        expectedOn: dayIn(form, 'expectedOn', voice),
        words: textIn(form, 'words'),
      });
      await orderPart(context, caller, part, typed);
      return { to: `/stock/${part}?done=ordered` };
    },
    show: (sending, sent) =>
      page(sending, partOf(sending.params.id), undefined, { form: 'order', sent }),
  });
  answerForm(app, context, {
    path: '/stock/orders/:id',
    record: async ({ caller, params, form }) => {
      const becomes = textIn(form, 'fate');
      const came = becomes === 'received' ? { pieces: numberIn(form, 'pieces') } : {};
      const typed = readBy(fate, { fate: becomes, ...came });
      const version = versionIn(form);
      const { part } = await settlePartOrder(context, caller, params.id, typed, version);
      return { to: `/stock/${part}?done=${typed.fate}` };
    },
    show: (sending, sent) => list(sending, undefined, sent, sending.params.id),
  });
}

function priceIn(form: Parameters<typeof unitsIn>[0], currency: string) {
  return unitsIn(form, 'unitPrice', currencyOf(currency).digits) ?? null;
}

function partOf(id: string): Part {
  const part = PARTS.find((one) => one === id);
  if (part === undefined) throw notFound('part');
  return part;
}
