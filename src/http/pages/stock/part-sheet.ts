import { voiceFor } from '../../../views/words/voice.ts';
import { decimalOf } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import type { OrderRecord, PartPageRecord } from '../../../usecases/stock/stock-page.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf, typedIn } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { type TrailModel, trailModel } from '../shop/trail-lines.ts';
import {
  priceWords,
  STOCK_DONE,
  thereWords,
  type UnderwayModel,
  underwayModel,
} from './stock-sheet.ts';

export interface StockPartModel {
  readonly heading: string;
  readonly piece: string;
  readonly done: string;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  readonly why: readonly string[];
  /** Null for whoever may only read. */
  readonly count: (FormModel & { readonly version: string; readonly fields: FieldModel[] }) | null;
  readonly order: (FormModel & { readonly fields: FieldModel[] }) | null;
  readonly wrong: FormModel;
  readonly underway: readonly UnderwayModel[];
  readonly over: readonly {
    readonly words: string;
    readonly form: FormModel;
    readonly version: string;
  }[];
  readonly records: boolean;
  readonly taken: readonly { readonly href: string; readonly words: string }[];
  readonly trail: TrailModel;
}

/** Which form of the page came back. */
export interface PartSent {
  readonly form: 'count' | 'order' | 'fate';
  readonly sent: Sent;
}

const EN = localeOf('en-GB');

/** One part of the stock: counted, ordered, taken, and who changed what. */
export function partSheet(
  facts: PartPageRecord,
  {
    records,
    done,
    once,
    came,
  }: {
    readonly records: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly came: PartSent | null;
  },
): [Frame, StockPartModel] {
  const { stock, need, prices, orders } = facts;
  const own = `/stock/${stock.part}`;
  const sentTo = (form: PartSent['form']) => (came?.form === form ? came.sent : null);
  const model: StockPartModel = {
    heading: `${stock.label.slice(0, 1).toUpperCase()}${stock.label.slice(1)}`,
    piece: `One piece: ${stock.piece}.`,
    done: STOCK_DONE[done ?? ''] ?? '',
    facts: [
      { label: 'There', value: thereWords(stock.inHand, stock.onOrder) },
      ...(need === null ? [] : [{ label: 'To order now', value: EN.number(need.order) }]),
      {
        label: 'Time to come',
        value: `${EN.number(stock.leadWeeks)} ${stock.leadWeeks === 1 ? 'week' : 'weeks'}${stock.leadFrom === 'own' ? '' : ' (shop rule)'}`,
      },
      { label: 'Price of a piece', value: priceWords(prices.currency, stock.unitPrice) },
    ],
    why: need === null ? [] : [need.because],
    count: records ? countForm(facts, own, once, sentTo('count')) : null,
    order: records ? orderForm(facts, own, once, sentTo('order')) : null,
    wrong: formOf(own, once, sentTo('fate'), []),
    underway: orders
      .filter(({ fate }) => fate === 'underway')
      .map((order) => underwayModel(order, once, records)),
    over: orders
      .filter(({ fate }) => fate !== 'underway')
      .map((order) => ({
        words: overWords(order),
        form: formOf(`/stock/orders/${order.id}`, once, null, []),
        version: String(order.version),
      })),
    records,
    taken: facts.taken.map(({ visitId, registration, pieces, takenOn }) => ({
      href: `/visits/${visitId}/record`,
      words: `${pieces} for ${registration} on ${EN.day(takenOn)}`,
    })),
    trail: trailModel(facts.trail.items, facts.timeZone, '', voiceFor('en')),
  };
  return [{ lang: 'en', title: model.heading, nav: { here: 'stock' } }, model];
}

function countForm(
  { stock, prices }: PartPageRecord,
  own: string,
  once: string,
  sent: Sent | null,
): NonNullable<StockPartModel['count']> {
  const { currency } = prices;
  const fields = [
    field(sent, 'inHand', 'In hand, counted', {
      value: stock.inHand,
      type: 'number',
      mode: 'numeric',
      needed: true,
    }),
    field(sent, 'leadWeeks', 'Weeks until an order comes', {
      value: stock.leadFrom === 'own' ? stock.leadWeeks : '',
      mode: 'decimal',
      hint: `Left empty: ${EN.number(stock.leadWeeks)}, as the shop rule says.`,
    }),
    ...(currency === null
      ? []
      : [
          field(sent, 'unitPrice', `Price of a piece, without tax (${currency})`, {
            value:
              stock.unitPrice === null
                ? ''
                : decimalOf(stock.unitPrice, currencyOf(currency).digits),
            mode: 'decimal',
            hint: 'What the owner pays. It goes into estimates that are made from now on.',
          }),
        ]),
  ];
  return {
    ...formOf(`${own}/count`, once, sent, fields),
    version: typedIn(sent, 'version') ?? String(stock.version),
    fields,
  };
}

function orderForm(
  { need, today }: PartPageRecord,
  own: string,
  once: string,
  sent: Sent | null,
): NonNullable<StockPartModel['order']> {
  const fields = [
    field(sent, 'pieces', 'Pieces ordered', {
      value: need === null || need.order === 0 ? '' : need.order,
      type: 'number',
      mode: 'numeric',
      needed: true,
    }),
    field(sent, 'orderedOn', 'Ordered on', { value: today, type: 'date' }),
    field(sent, 'expectedOn', 'Expected on', { type: 'date' }),
    field(sent, 'words', 'From whom, under what number'),
  ].map((one) => ({ ...one, id: `order-${one.id}` }));
  return { ...formOf(`${own}/order`, once, sent, fields), fields };
}

function overWords(order: OrderRecord): string {
  const { pieces, orderedOn, receivedOn, receivedPieces, calledOffOn } = order;
  const began = `${pieces} ordered on ${EN.day(orderedOn)}`;
  if (receivedOn !== null) return `${began}; ${receivedPieces ?? 0} came on ${EN.day(receivedOn)}`;
  return `${began}; called off on ${EN.day(calledOffOn ?? orderedOn)}`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'stock-part': StockPartModel;
  }
}
