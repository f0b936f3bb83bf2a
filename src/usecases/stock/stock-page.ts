import type { Day } from '../../domain/calendar/day.ts';
import { KITS, type Part } from '../../domain/parts/kits.ts';
import type { OrderRow } from '../../store/stock/order-rows.ts';
import { ordersOfPart, ordersUnderway } from '../../store/stock/order-rows.ts';
import type { TakenRow } from '../../store/stock/part-use-rows.ts';
import { usesOfPart } from '../../store/stock/part-use-rows.ts';
import { diaryCalendar } from '../bench/diary-calendar.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page } from '../context/paging.ts';
import type { TrailRecord } from '../trail/read-trail.ts';
import { readTrail } from '../trail/read-trail.ts';
import type { StockRecord } from './change-stock.ts';
import { listStock, showStock } from './change-stock.ts';
import { fateOf, type OrderFate } from './orders.ts';
import type { PricesRecord } from './prices.ts';
import { showPrices } from './prices.ts';
import { type PartRecord, readParts } from './read-parts.ts';

/** An order of a part that was written down. */
export interface OrderRecord {
  readonly id: string;
  readonly part: Part;
  readonly label: string;
  readonly pieces: number;
  readonly orderedOn: Day;
  readonly expectedOn: Day | null;
  readonly words: string | null;
  readonly fate: OrderFate['fate'];
  readonly receivedOn: Day | null;
  readonly receivedPieces: number | null;
  readonly calledOffOn: Day | null;
  readonly version: number;
}

/** What there is of every part, what is on its way, and what to order. */
export interface StockPageRecord {
  readonly today: Day;
  readonly prices: PricesRecord;
  readonly parts: readonly (StockRecord & { readonly need: PartRecord })[];
  readonly underway: readonly OrderRecord[];
  readonly because: readonly string[];
}

export async function readStockPage(context: Context, caller: Caller): Promise<StockPageRecord> {
  const { sql } = context.store;
  const { today, items, because } = await readParts(context, caller, {});
  const stock = await listStock(context, caller);
  return {
    today,
    prices: await showPrices(context, caller),
    parts: stock.flatMap((one) => {
      const need = items.find(({ part }) => part === one.part);
      return need === undefined ? [] : [{ ...one, need }];
    }),
    underway: (await ordersUnderway(sql, caller.organisationId)).map(orderRecord),
    because,
  };
}

/** One part: what there is of it, what was ordered, which visits took it, and who changed what. */
export interface PartPageRecord {
  readonly today: Day;
  readonly timeZone: string;
  readonly prices: PricesRecord;
  readonly stock: StockRecord;
  readonly need: PartRecord | null;
  readonly orders: readonly OrderRecord[];
  readonly taken: readonly TakenRow[];
  readonly trail: Page<TrailRecord>;
}

// What a page still reads as a list.
const MOST = 40;

export async function readPartPage(
  context: Context,
  caller: Caller,
  part: Part,
): Promise<PartPageRecord> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const { today, timeZone } = await diaryCalendar(sql, organisationId, context.now());
  const { items } = await readParts(context, caller, {});
  return {
    today,
    timeZone,
    prices: await showPrices(context, caller),
    stock: await showStock(context, caller, part),
    need: items.find((one) => one.part === part) ?? null,
    orders: (await ordersOfPart(sql, organisationId, part, MOST)).map(orderRecord),
    taken: await usesOfPart(sql, organisationId, part, MOST),
    trail: await readTrail(context, caller, { record: { kind: 'stock', id: part }, limit: MOST }),
  };
}

function orderRecord(row: OrderRow): OrderRecord {
  const part = row.part as Part;
  const { organisationId: _, ...order } = row;
  return { ...order, part, label: KITS[part]?.label ?? part, fate: fateOf(row) };
}
