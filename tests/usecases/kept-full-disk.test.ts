import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { ROUND_AT } from '../../bench/round-herd.ts';
import { makeShopHerd } from '../../bench/shop-herd.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import type { Store } from '../../src/store/database/store.ts';
import type { Context } from '../../src/usecases/context/context.ts';
import { readCalls } from '../../src/usecases/day/read-calls.ts';
import { readToday } from '../../src/usecases/day/today-page.ts';
import { callerOf, makeKey } from '../../src/usecases/organisations/organisations.ts';

/** A store whose disk takes nothing more, as SQLite says it. */
function fullDisk(store: Store): Store {
  const full = () =>
    Promise.reject(Object.assign(new Error('database or disk is full'), { code: 'SQLITE_FULL' }));
  return Object.create(store, { write: { value: full }, writeSql: { value: full } }) as Store;
}

it('shows the same day on a full disk, where nothing can be kept, and keeps it once there is room', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-full-'));
  const file = join(folder, 'herd.db');
  await makeShopHerd(file, 80);
  const store = await openStore(`file:${file}`);
  const context: Context = {
    store,
    now: () => ROUND_AT,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
  const { key } = await makeKey(context, { name: 'Bench Shop' }, 'full');
  const caller = await callerOf(context, key);
  if (caller === null) throw new Error('the key does not open');
  const full = { ...context, store: fullDisk(store) };
  const kept = () =>
    store.sql.all<{ n: number }>(`SELECT COUNT(*) AS "n" FROM "car_kept" WHERE "goodUntil" <> ''`);

  const [todayFull, callsFull] = [
    await readToday(full, caller),
    await readCalls(full, caller, { limit: 50 }),
  ];
  expect(await kept()).toEqual([{ n: 0 }]);
  expect(callsFull.items.length).toBeGreaterThan(0);
  // Again and again: nothing is kept, so everything is reckoned for each reader.
  expect(await readToday(full, caller)).toEqual(todayFull);
  const [today, calls] = [
    await readToday(context, caller),
    await readCalls(context, caller, { limit: 50 }),
  ];
  expect(todayFull).toEqual(today);
  expect(callsFull).toEqual(calls);
  expect(await kept()).toEqual([{ n: 80 }]);
  await store.close();
  rmSync(folder, { recursive: true, force: true });
});
