import { moneyWords } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import type { OrderRecord, StockPageRecord } from '../../../usecases/stock/stock-page.ts';
import { localeOf } from '../../../views/words/locale.ts';
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

const EN = localeOf('en-GB');

export const STOCK_DONE: Readonly<Record<string, string>> = {
  counted: 'Kept. What was there before stands below.',
  ordered: 'Written down: it counts as on its way.',
  received: 'Noted: it came, and is in hand now.',
  'called-off': 'Noted: it is not on its way any more.',
  underway: 'Taken back: it counts as on its way again.',
};

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
): [Frame, StockModel] {
  const { prices, parts } = facts;
  const underway = facts.underway.map((order) =>
    underwayModel(order, once, records, order.id === orderId ? sent : null),
  );
  const model: StockModel = {
    done: STOCK_DONE[done ?? ''] ?? '',
    toOrder: parts
      .filter(({ need }) => need.order > 0)
      .map(({ part, label, piece, inHand, onOrder, need }) => ({
        words: `${need.order} × ${label}`,
        there: `${piece}; ${thereWords(inHand, onOrder)}`,
        why: need.because,
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
      label,
      piece,
      inHand: EN.number(inHand),
      onOrder: EN.number(onOrder),
      need: need.quantity === 0 ? 'none seen' : EN.number(need.quantity),
      price: priceWords(prices.currency, unitPrice),
    })),
    recount: parts
      .filter(({ inHand }) => inHand < 0)
      .map(
        ({ label, inHand }) =>
          `Count the ${label}: ${-inHand} more ${inHand === -1 ? 'was' : 'were'} taken than had been counted.`,
      ),
    hour:
      prices.currency === null || prices.hourRate === null
        ? 'not said yet'
        : moneyWords(EN.tag, currencyOf(prices.currency), prices.hourRate),
    because: facts.because,
  };
  return [{ lang: 'en', title: 'Stock', nav: { here: 'stock' } }, model];
}

export function underwayModel(
  order: OrderRecord,
  once: string,
  records: boolean,
  sent: Sent | null = null,
): UnderwayModel {
  const { id, label, pieces, orderedOn, expectedOn, words, version } = order;
  const form = formOf(`/stock/orders/${id}`, once, null, []);
  const said = expectedOn === null ? '' : `, expected on ${EN.day(expectedOn)}`;
  return {
    words: `${pieces} × ${label}, ordered on ${EN.day(orderedOn)}${said}`,
    notes: words ?? '',
    form,
    version: String(version),
    pieces: records
      ? {
          ...field(sent, 'pieces', 'Pieces that came', {
            value: pieces,
            type: 'number',
            mode: 'numeric',
          }),
          id: `pieces-${id}`,
        }
      : null,
  };
}

export function thereWords(inHand: number, onOrder: number): string {
  return `${EN.number(inHand)} in hand${onOrder === 0 ? '' : `, ${EN.number(onOrder)} on their way`}`;
}

/** What a piece costs, in words of the shop's pages. */
export function priceWords(currency: string | null, unitPrice: number | null): string {
  if (currency === null || unitPrice === null) return 'not said';
  return moneyWords(EN.tag, currencyOf(currency), unitPrice);
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly stock: StockModel;
  }
}
