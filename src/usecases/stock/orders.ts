import type { Day } from '../../domain/calendar/day.ts';
import type { Part } from '../../domain/parts/kits.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import type { OrderRow } from '../../store/stock/order-rows.ts';
import { heldOrder, insertOrder, settleOrder } from '../../store/stock/order-rows.ts';
import { moveStock } from '../../store/stock/stock-rows.ts';
import { diaryCalendar } from '../bench/diary-calendar.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { requireVersion } from '../context/version.ts';

export interface NewOrder {
  readonly pieces: number;
  /** Today, where it is left out. */
  readonly orderedOn?: Day | undefined;
  readonly expectedOn?: Day | undefined;
  /** From whom, under what number. */
  readonly words?: string | undefined;
}

/** Writes down that pieces of a part were ordered; they count as on their way. */
export async function orderPart(
  context: Context,
  { organisationId }: Caller,
  part: Part,
  { pieces, orderedOn, expectedOn, words }: NewOrder,
): Promise<void> {
  await context.store.writeSql(async (sql) => {
    const { today } = await diaryCalendar(sql, organisationId, context.now());
    const on = orderedOn ?? today;
    if (on > today) throw invalid('#/orderedOn', 'This day is still to come.');
    if (expectedOn !== undefined && expectedOn < on) {
      throw invalid('#/expectedOn', 'It cannot come before it was ordered.');
    }
    await insertOrder(sql, {
      id: newId(),
      organisationId,
      part,
      pieces,
      orderedOn: on,
      expectedOn: expectedOn ?? null,
      words: words ?? null,
      receivedOn: null,
      receivedPieces: null,
      calledOffOn: null,
      version: 1,
    });
    await moveStock(sql, organisationId, part, { onOrder: pieces });
  });
}

/** What became of an order: it came, with so many pieces; it was called off; or it still is to come. */
export type OrderFate =
  | { readonly fate: 'received'; readonly pieces: number }
  | { readonly fate: 'called-off' }
  | { readonly fate: 'underway' };

/**
 * Says what became of an order, as often as that has to be put right: the stock is as if what was said
 * before had never been. Returns the part.
 */
export async function settlePartOrder(
  context: Context,
  { organisationId }: Caller,
  id: string,
  fate: OrderFate,
  version: number | '*' | null,
): Promise<{ readonly part: string }> {
  return context.store.writeSql(async (sql) => {
    const order = await heldOrder(sql, organisationId, id);
    if (order === null) throw notFound('order');
    requireVersion(version, order.version);
    const { today } = await diaryCalendar(sql, organisationId, context.now());
    const becomes: OrderRow = {
      ...order,
      receivedOn: fate.fate === 'received' ? today : null,
      receivedPieces: fate.fate === 'received' ? fate.pieces : null,
      calledOffOn: fate.fate === 'called-off' ? today : null,
    };
    if (fate.fate === fateOf(order)) {
      throw new Refused({ kind: 'conflict', detail: 'This was said of the order before.' });
    }
    const [was, is] = [holds(order), holds(becomes)];
    await settleOrder(sql, becomes);
    await moveStock(sql, organisationId, order.part, {
      inHand: is.inHand - was.inHand,
      onOrder: is.onOrder - was.onOrder,
    });
    return { part: order.part };
  });
}

/** Where an order stands. */
export function fateOf({ receivedOn, calledOffOn }: OrderRow): OrderFate['fate'] {
  if (receivedOn !== null) return 'received';
  return calledOffOn === null ? 'underway' : 'called-off';
}

/** What an order adds to the stock as it stands. */
function holds(order: OrderRow): { inHand: number; onOrder: number } {
  const fate = fateOf(order);
  return {
    inHand: fate === 'received' ? (order.receivedPieces ?? 0) : 0,
    onOrder: fate === 'underway' ? order.pieces : 0,
  };
}
