import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { KITS } from '../../domain/parts/kits.ts';
import type { Part } from '../../domain/parts/kits.ts';
import { Refused } from '../../domain/refusal.ts';
import type { StockRow } from '../../store/stock/stock-rows.ts';
import { stockOf, stockOfPart, writeStock } from '../../store/stock/stock-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { requireVersion } from '../context/version.ts';

export interface StockRecord {
  readonly part: Part;
  readonly label: string;
  readonly piece: string;
  readonly inHand: number;
  readonly onOrder: number;
  readonly leadWeeks: number;
  /** Whether the lead time was entered, or is the shop rule. */
  readonly leadFrom: 'own' | 'shop rule';
  /** What a piece costs an owner without tax, in the smallest unit of the currency; null while unsaid. */
  readonly unitPrice: number | null;
  /** 0 until the part was counted for the first time. */
  readonly version: number;
}

/** What is left out stays as it was; a lead time of null goes back to the shop rule. */
export interface StockCount {
  readonly inHand: number;
  readonly onOrder?: number | undefined;
  readonly leadWeeks?: number | null | undefined;
  readonly unitPrice?: number | null | undefined;
}

/** What the organisation has of a part; nothing, at the usual lead time, until it was counted. */
export async function showStock(
  context: Context,
  caller: Caller,
  part: Part,
): Promise<StockRecord> {
  const { sql } = context.store;
  const values = figuresFor('parts', await ownFiguresOf(sql, caller.organisationId));
  const row = await stockOfPart(sql, caller.organisationId, part);
  return stockRecord(part, row, values);
}

/** Every part with what the organisation has of it. */
export async function listStock(context: Context, caller: Caller): Promise<StockRecord[]> {
  const { sql } = context.store;
  const values = figuresFor('parts', await ownFiguresOf(sql, caller.organisationId));
  const rows = await stockOf(sql, caller.organisationId);
  const parts = Object.keys(KITS) as Part[];
  return parts.map((part) =>
    stockRecord(part, rows.find((row) => row.part === part) ?? null, values),
  );
}

/** Enters what was counted. The first count needs no version, since there is nothing to overwrite. */
export async function changeStock(
  context: Context,
  caller: Caller,
  part: Part,
  count: StockCount,
  version: number | '*' | null,
): Promise<StockRecord> {
  const { organisationId } = caller;
  return context.store.writeSql(async (sql) => {
    const before = await stockOfPart(sql, organisationId, part, true);
    if (before !== null || version !== null) requireVersion(version, before?.version ?? 0);
    const row: StockRow = {
      part,
      inHand: count.inHand,
      onOrder: count.onOrder ?? before?.onOrder ?? 0,
      leadWeeks: count.leadWeeks === undefined ? (before?.leadWeeks ?? null) : count.leadWeeks,
      unitPrice: count.unitPrice === undefined ? (before?.unitPrice ?? null) : count.unitPrice,
      version: (before?.version ?? 0) + 1,
    };
    if (!(await writeStock(sql, organisationId, row, before !== null))) {
      throw new Refused({
        kind: 'changed-meanwhile',
        detail: 'Somebody has counted this part meanwhile. Read it again and repeat your count.',
      });
    }
    const values = figuresFor('parts', await ownFiguresOf(sql, organisationId));
    return stockRecord(part, row, values);
  });
}

function stockRecord(
  part: Part,
  row: StockRow | null,
  values: ReturnType<typeof figuresFor<'parts'>>,
): StockRecord {
  const { label, piece, lead } = KITS[part];
  return {
    part,
    label,
    piece,
    inHand: row?.inHand ?? 0,
    onOrder: row?.onOrder ?? 0,
    leadWeeks: row?.leadWeeks ?? values[lead],
    leadFrom: row === null || row.leadWeeks === null ? 'shop rule' : 'own',
    unitPrice: row?.unitPrice ?? null,
    version: row?.version ?? 0,
  };
}
