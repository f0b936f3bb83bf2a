import { decimalOf } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import type { OrderRecord, PartPageRecord } from '../../../usecases/stock/stock-page.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { dayField } from '../frame/day-fields.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf, typedIn } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { type TrailModel, trailModel } from '../shop/trail-lines.ts';
import {
  doneWords,
  priceWords,
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
  voice: Voice,
): [Frame, StockPartModel] {
  const { say, tell, locale, count } = voice;
  const { stock, need, prices, orders } = facts;
  const own = `/stock/${stock.part}`;
  const label = tell(stock.label);
  const sentTo = (form: PartSent['form']) => (came?.form === form ? came.sent : null);
  const model: StockPartModel = {
    heading: `${label.slice(0, 1).toUpperCase()}${label.slice(1)}`,
    piece: say('stock.piece', { piece: tell(stock.piece) }),
    done: doneWords(done, voice),
    facts: [
      { label: say('stock.fact.there'), value: thereWords(stock.inHand, stock.onOrder, voice) },
      ...(need === null
        ? []
        : [{ label: say('stock.fact.order'), value: locale.number(need.order) }]),
      {
        label: say('stock.fact.lead'),
        value: count(
          stock.leadFrom === 'own' ? 'stock.weeks' : 'stock.weeks.rule',
          stock.leadWeeks,
        ),
      },
      {
        label: say('stock.fact.price'),
        value: priceWords(prices.currency, stock.unitPrice, voice),
      },
    ],
    why: need === null ? [] : [tell(need.because)],
    count: records ? countForm(facts, own, once, sentTo('count'), voice) : null,
    order: records ? orderForm(facts, own, once, sentTo('order'), voice) : null,
    wrong: formOf(own, once, sentTo('fate'), []),
    underway: orders
      .filter(({ fate }) => fate === 'underway')
      .map((order) => underwayModel(order, once, records, voice)),
    over: orders
      .filter(({ fate }) => fate !== 'underway')
      .map((order) => ({
        words: overWords(order, voice),
        form: formOf(`/stock/orders/${order.id}`, once, null, []),
        version: String(order.version),
      })),
    records,
    taken: facts.taken.map(({ visitId, registration, pieces, takenOn }) => ({
      href: `/visits/${visitId}/record`,
      words: say('stock.taken.by', {
        pieces: String(pieces),
        car: registration,
        day: voice.day(takenOn),
      }),
    })),
    trail: trailModel(facts.trail.items, facts.timeZone, '', voice),
  };
  return [{ lang: voice.language, title: model.heading, nav: { here: 'stock' } }, model];
}

function countForm(
  { stock, prices }: PartPageRecord,
  own: string,
  once: string,
  sent: Sent | null,
  { say, count: counted }: Voice,
): NonNullable<StockPartModel['count']> {
  const { currency } = prices;
  const fields = [
    field(sent, 'inHand', say('stock.field.inHand'), {
      value: stock.inHand,
      type: 'number',
      mode: 'numeric',
      needed: true,
    }),
    field(sent, 'leadWeeks', say('stock.field.lead'), {
      value: stock.leadFrom === 'own' ? stock.leadWeeks : '',
      mode: 'decimal',
      hint: say('stock.field.lead.hint', { weeks: counted('stock.weeks', stock.leadWeeks) }),
    }),
    ...(currency === null
      ? []
      : [
          field(sent, 'unitPrice', say('stock.field.price', { currency }), {
            value:
              stock.unitPrice === null
                ? ''
                : decimalOf(stock.unitPrice, currencyOf(currency).digits),
            mode: 'decimal',
            hint: say('stock.field.price.hint'),
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
  voice: Voice,
): NonNullable<StockPartModel['order']> {
  const { say } = voice;
  const fields = [
    field(sent, 'pieces', say('stock.field.pieces'), {
      value: need === null || need.order === 0 ? '' : need.order,
      type: 'number',
      mode: 'numeric',
      needed: true,
    }),
    dayField(sent, 'orderedOn', say('stock.field.orderedOn'), voice, { value: today }),
    dayField(sent, 'expectedOn', say('stock.field.expectedOn'), voice),
    field(sent, 'words', say('stock.field.words')),
  ].map((one) => ({ ...one, id: `order-${one.id}` }));
  return { ...formOf(`${own}/order`, once, sent, fields), fields };
}

function overWords(order: OrderRecord, voice: Voice): string {
  const { say } = voice;
  const { pieces, orderedOn, receivedOn, receivedPieces, calledOffOn } = order;
  const began = { pieces: String(pieces), day: voice.day(orderedOn) };
  if (receivedOn !== null) {
    const received = String(receivedPieces ?? 0);
    return say('stock.over.came', { ...began, received, on: voice.day(receivedOn) });
  }
  return say('stock.over.calledOff', { ...began, on: voice.day(calledOffOn ?? orderedOn) });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'stock-part': StockPartModel;
  }
}
