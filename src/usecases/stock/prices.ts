import { Refused } from '../../domain/refusal.ts';
import { pricesOf, writePrices } from '../../store/stock/price-rows.ts';
import { forgetPrices } from '../../store/stock/stock-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireVersion } from '../context/version.ts';

/** What work costs in an organisation, in its own numbers alone: nothing here has a default. */
export interface PricesRecord {
  /** By its code in ISO 4217; null until it is said. */
  readonly currency: string | null;
  /** An hour at the bench without tax, in the smallest unit of the currency. */
  readonly hourRate: number | null;
  /** In thousandths of a per cent; null where no tax is added. */
  readonly taxRate: number | null;
  /** What owners read beside it, such as the name of the tax. */
  readonly taxName: string | null;
  /** 0 until something was said. */
  readonly version: number;
}

export interface PricesChange {
  readonly currency: string;
  readonly hourRate: number | null;
  readonly taxRate: number | null;
  readonly taxName: string | null;
}

export async function showPrices(context: Context, caller: Caller): Promise<PricesRecord> {
  const row = await pricesOf(context.store.sql, caller.organisationId);
  return row ?? { currency: null, hourRate: null, taxRate: null, taxName: null, version: 0 };
}

/**
 * Says what work costs. Estimates keep the numbers they were made with. Another currency makes the
 * prices of parts numbers of nothing, so they are forgotten. The first word needs no version.
 */
export async function changePrices(
  context: Context,
  caller: Caller,
  change: PricesChange,
  version: number | '*' | null,
): Promise<PricesRecord> {
  const { organisationId } = caller;
  return context.store.writeSql(async (sql) => {
    const before = await pricesOf(sql, organisationId, true);
    if (before !== null || (version !== null && version !== 0)) {
      requireVersion(version, before?.version ?? 0);
    }
    const row = { organisationId, ...change, version: (before?.version ?? 0) + 1 };
    if (!(await writePrices(sql, row, before !== null))) {
      const detail = 'Somebody has set the prices meanwhile. Read them again and repeat yours.';
      throw new Refused({ kind: 'changed-meanwhile', detail });
    }
    if (before !== null && before.currency !== change.currency) {
      await forgetPrices(sql, organisationId);
    }
    return row;
  });
}
