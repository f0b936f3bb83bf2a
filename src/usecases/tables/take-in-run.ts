import { Refused } from '../../domain/refusal.ts';
import { claimRun, settleRun } from '../../store/records/import-run-rows.ts';
import { actingAs } from '../context/acting.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import type { Progress } from '../records/export-records.ts';
import { heldRun, opened, takenInAlready } from './import-runs.ts';
import { planImport, shopOf } from './plan-import.ts';
import type { TableTally } from './take-in-table.ts';
import { takeIn } from './take-in-table.ts';

/**
 * Takes a table in that was handed in and looked at: all its lines, or the good ones alone, once,
 * however often it is asked for. The plan is made anew, from the records as they are now.
 */
export async function takeInRun(
  context: Context,
  caller: Caller,
  id: string,
  how: { readonly goodLinesOnly: boolean; readonly progress: Progress },
): Promise<TableTally> {
  requireRight(caller, 'manage-organisation');
  const row = await heldRun(context, caller, id);
  const { table, settings } = opened(row);
  const shop = await shopOf(context, caller);
  const { store } = context;
  return actingAs(context, caller, () =>
    store.together(async () => {
      const at = context.now();
      if (!(await store.writeSql((sql) => claimRun(sql, id, at)))) throw takenInAlready();
      const plan = await planImport(store.sql, shop, table, settings, at);
      if (plan.faults.length > 0 && !how.goodLinesOnly) {
        const detail = `${plan.refused} lines are refused. Take in the good lines alone, or put them right first.`;
        throw new Refused({ kind: 'conflict', detail });
      }
      const { tally, made } = await takeIn(context, caller, shop, plan, how.progress);
      const came = { tally: JSON.stringify(tally), made: JSON.stringify(made) };
      await store.writeSql((sql) => settleRun(sql, id, came));
      return tally;
    }),
  );
}
