import { moneyWords } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import type { OrderRecord, StockPageRecord } from '../../../usecases/stock/stock-page.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

/** An order that is on its way, with what may have become of it. */
export interface UnderwayModel {
  readonly words: string;
  readonly notes: string;
  readonly form: FormModel;
  readonly version: string;
  /** Null for whoever may only read. */
  readonly pieces: FieldModel | null;
}

export interface StockModel {
  readonly done: string;
  readonly toOrder: readonly {
    readonly words: string;
    readonly there: string;
    readonly why: string;
    readonly href: string;
  }[];
  readonly underway: readonly UnderwayModel[];
  readonly wrong: FormModel;
  readonly rows: readonly {
    readonly href: string;
    readonly label: string;
    readonly piece: string;
    readonly inHand: string;
    readonly onOrder: string;
    readonly need: string;
    readonly price: string;
  }[];
  readonly recount: readonly string[];
  readonly hour: string;
  readonly because: readonly string[];
}

const DONE: readonly string[] = ['counted', 'ordered', 'received', 'called-off', 'underway'];

/** What a press on these pages came to; empty where nothing was pressed. */
export function doneWords(done: string | undefined, { say }: Voice): string {
  return DONE.includes(done ?? '') ? say(`stock.done.${done ?? ''}`) : '';
}

/** What is in hand, on its way and to be ordered, part by part. */
export function stockSheet(
  facts: StockPageRecord,
  {
    records,
    done,
    once,
    sent,
    orderId,
  }: {
    readonly records: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
    /** The order whose form came back; empty where none did. */
    readonly orderId: string;
  },
  voice: Voice,
): [Frame, StockModel] {
  const { prices, parts } = facts;
  const { say, tell, locale } = voice;
  const underway = facts.underway.map((order) =>
    underwayModel(order, once, records, voice, order.id === orderId ? sent : null),
  );
  const model: StockModel = {
    done: doneWords(done, voice),
    toOrder: parts
      .filter(({ need }) => need.order > 0)
      .map(({ part, label, piece, inHand, onOrder, need }) => ({
        words: `${need.order} × ${tell(label)}`,
        there: `${tell(piece)}; ${thereWords(inHand, onOrder, voice)}`,
        why: tell(need.because),
        href: `/stock/${part}`,
      })),
    underway,
    wrong: formOf(
      '/stock',
      once,
      sent,
      underway.flatMap(({ pieces }) => (pieces === null || pieces.fault === '' ? [] : [pieces])),
    ),
    rows: parts.map(({ part, label, piece, inHand, onOrder, unitPrice, need }) => ({
      href: `/stock/${part}`,
      label: tell(label),
      piece: tell(piece),
      inHand: locale.number(inHand),
      onOrder: locale.number(onOrder),
      need: need.quantity === 0 ? say('stock.none') : locale.number(need.quantity),
      price: priceWords(prices.currency, unitPrice, voice),
    })),
    recount: parts
      .filter(({ inHand }) => inHand < 0)
      .map(({ label, inHand }) => voice.count('stock.recount', -inHand, { part: tell(label) })),
    hour:
      prices.currency === null || prices.hourRate === null
        ? say('stock.unsaid.yet')
        : moneyWords(locale.tag, currencyOf(prices.currency), prices.hourRate),
    because: facts.because.map(tell),
  };
  return [{ lang: voice.language, title: say('stock.title'), nav: { here: 'stock' } }, model];
}

/** An order that is on its way, and the form that says what became of it. */
export function underwayModel(
  order: OrderRecord,
  once: string,
  records: boolean,
  voice: Voice,
  sent: Sent | null = null,
): UnderwayModel {
  const { id, label, pieces, orderedOn, expectedOn, words, version } = order;
  const { say, tell } = voice;
  const form = formOf(`/stock/orders/${id}`, once, null, []);
  const ordered = { what: `${pieces} × ${tell(label)}`, day: voice.day(orderedOn) };
  return {
    words:
      expectedOn === null
        ? say('stock.ordered', ordered)
        : say('stock.ordered.expected', { ...ordered, expected: voice.day(expectedOn) }),
    notes: words ?? '',
    form,
    version: String(version),
    pieces: records
      ? {
          ...field(sent, 'pieces', say('stock.came.pieces'), {
            value: pieces,
            type: 'number',
            mode: 'numeric',
          }),
          id: `pieces-${id}`,
        }
      : null,
  };
}

export function thereWords(inHand: number, onOrder: number, { say, locale }: Voice): string {
  const there = { inHand: locale.number(inHand), onOrder: locale.number(onOrder) };
  return say(onOrder === 0 ? 'stock.there' : 'stock.there.coming', there);
}

/** What a piece costs, in words of the shop's pages. */
export function priceWords(
  currency: string | null,
  unitPrice: number | null,
  { say, locale }: Voice,
): string {
  if (currency === null || unitPrice === null) return say('stock.unsaid');
  return moneyWords(locale.tag, currencyOf(currency), unitPrice);
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly stock: StockModel;
  }
}
