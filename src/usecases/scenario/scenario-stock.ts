import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Caller, Context } from '../context/context.ts';
import { changeStock } from '../stock/change-stock.ts';
import { orderPart } from '../stock/orders.ts';
import { changePrices } from '../stock/prices.ts';
import type { DeskClock, DeskSeed } from './scenario-desk-seeds.ts';

/** What the shop's work costs and what lies on its shelf, and an order that is on its way. */
export type StockHappening = { readonly at: Instant } & (
  | { readonly what: 'shelf'; readonly desk: Pick<DeskSeed, 'prices' | 'stock'> }
  | { readonly what: 'order'; readonly order: DeskSeed['orders'][number] }
);

const COUNTED_DAYS_AGO = 30;

/** The washers run short, and the cables that somebody agreed to are on their way. */
export function stockStory(desk: DeskSeed, clock: DeskClock): StockHappening[] {
  return [
    { what: 'shelf', at: clock(COUNTED_DAYS_AGO, '17:00'), desk },
    ...desk.orders.map((order) => ({
      what: 'order' as const,
      at: clock(order.orderedDaysAgo, '09:20'),
      order,
    })),
  ];
}

export async function replayShelf(
  context: Context,
  caller: Caller,
  { prices, stock }: Pick<DeskSeed, 'prices' | 'stock'>,
): Promise<void> {
  await changePrices(context, caller, prices, null);
  for (const { part, ...count } of stock) await changeStock(context, caller, part, count, null);
}

export async function replayOrder(
  context: Context,
  caller: Caller,
  { part, pieces, orderedDaysAgo, expectedInDays, words }: DeskSeed['orders'][number],
): Promise<void> {
  const on = context.now().slice(0, 10);
  const expectedOn = addDays(on, orderedDaysAgo + expectedInDays);
  await orderPart(context, caller, part, { pieces, expectedOn, words });
}
