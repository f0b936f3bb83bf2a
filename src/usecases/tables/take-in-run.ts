import { Refused } from '../../domain/refusal.ts';
import type { Against } from '../../store/records/import-references.ts';
import { claimRun, markUndone, settleRun } from '../../store/records/import-run-rows.ts';
import type { MadeIds, Touched } from '../../store/records/import-undo-rows.ts';
import { removeMade, touchedSince } from '../../store/records/import-undo-rows.ts';
import { changeCar } from '../cars/change-car.ts';
import { showCar } from '../cars/read-cars.ts';
import { actingAs } from '../context/acting.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { changeOwner } from '../owners/change-owner.ts';
import { showOwner } from '../owners/read-owners.ts';
import type { Progress } from '../records/export-records.ts';
import { heldRun, opened, takenInAlready } from './import-runs.ts';
import { planImport, shopOf } from './plan-import.ts';
import type { Changed, Made, TableTally } from './take-in-table.ts';
import { carChange, takeIn } from './take-in-table.ts';

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

/**
 * Takes back what a table brought: what it made goes, what it changed stands as before. Refused, with
 * what stands against it, where anybody did anything with these records since.
 */
export async function undoRun(context: Context, caller: Caller, id: string): Promise<void> {
  requireRight(caller, 'manage-organisation');
  const row = await heldRun(context, caller, id);
  if (row.made === null) throw refused('What this table brought is not known any more.');
  const made = JSON.parse(row.made) as Made;
  const { store } = context;
  await actingAs(context, caller, () =>
    store.together(async () => {
      await refuseTouched(context, caller, made);
      if (!(await store.writeSql((sql) => markUndone(sql, id, context.now())))) {
        throw refused('This table was taken back already.');
      }
      for (const changed of made.changed.toReversed()) await putBack(context, caller, changed);
      await store.writeSql((sql) => removeMade(sql, made));
    }),
  );
}

async function refuseTouched(context: Context, caller: Caller, made: Made): Promise<void> {
  const against: string[] = await context.store.writeSql(async (sql) =>
    inWords(await touchedSince(sql, made satisfies MadeIds)),
  );
  if (made.topsOfOthers.length > 0) {
    against.push(`${made.topsOfOthers.length} tops were put on cars that were here before`);
  }
  for (const { kind, id, version } of made.changed) {
    const now = await (kind === 'car' ? showCar : showOwner)(context, caller, id).catch(() => null);
    if (now?.version !== version) against.push('what it changed was changed again');
  }
  if (against.length === 0) return;
  throw refused(`It cannot be taken back any more: ${[...new Set(against)].join('; ')}.`);
}

function inWords({ changed, added, worked }: Touched): string[] {
  const counts: readonly (readonly [number, string])[] = [
    [changed, 'records were changed since'],
    ...[...worked].map(([against, count]) => [count, WORDS[against]] as const),
    [added, 'cars or tops were added'],
  ];
  return counts.filter(([count]) => count > 0).map(([count, words]) => `${words} (${count})`);
}

const WORDS: Readonly<Record<Against, string>> = {
  visits: 'visits were recorded or booked',
  entries: 'entries were made in the log',
  calls: 'calls were noted',
  offers: 'weeks were offered',
  letters: 'letters have left',
  consents: 'owners said what may be written to them',
  'care-days': 'cars were asked to a care day',
  orders: 'parts were ordered with a care day',
  sharing: 'owners chose what others see',
  estimates: 'estimates were made',
  photos: 'photos were kept',
};

async function putBack(
  context: Context,
  caller: Caller,
  { kind, id, version, before }: Changed,
): Promise<void> {
  if (kind === 'car') await changeCar(context, caller, id, carChange(before), version);
  else {
    const change = before as Parameters<typeof changeOwner>[3];
    await changeOwner(context, caller, id, change, version);
  }
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
