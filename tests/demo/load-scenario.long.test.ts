import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Context } from '../../src/usecases/context/context.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { loadScenario } from '../../src/usecases/scenario/load-scenario.ts';
import { contextAt } from '../records/lived-in.ts';
import { postgresqlDatabases } from '../setup/databases.ts';
import { loadedScenario } from '../setup/loaded-scenario.ts';
import { DAY, LOADING, seenIn, SEEDS, tryScenarioAt } from './loaded-at.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-demo-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

tryScenarioAt('2028-02-29T10:00:00.000Z');
tryScenarioAt('2026-12-31T23:30:00.000Z', true);

describe('the scenario on PostgreSQL', () => {
  const fresh = postgresqlDatabases();
  let context: Context;
  beforeAll(async () => {
    context = await contextAt(await fresh(), DAY);
    await loadScenario(context);
  }, LOADING);
  afterAll(() => context.store.close());

  it('is what it is on SQLite, another time over', async () => {
    const seen = await seenIn(context, await planRound(context));
    const onSqlite = await contextAt(await loadedScenario(folder, DAY), DAY);
    expect(seen).toEqual(await seenIn(onSqlite, await planRound(onSqlite)));
    await onSqlite.store.close();
    await expect(loadScenario(context)).rejects.toThrow('already');
  });
});

it(
  'a load that breaks off leaves nothing behind',
  async () => {
    const [shop, ...others] = SEEDS.organisations;
    const owner = shop?.owners[0];
    const car = owner?.cars[0];
    if (shop === undefined || owner === undefined || car === undefined) throw new Error('no seeds');
    const finding = { fault: 'pivot-stiff', pivot: 'L-NOWHERE', outcome: 'done' as const };
    const faulty = { ...owner, cars: [{ ...car, findings: [finding] }] };
    const context = await contextAt(`file:${join(folder, 'broken.db')}`, DAY);
    // The others come first, so there is something to leave behind.
    const organisations = [...others, { ...shop, owners: [faulty] }];
    await expect(loadScenario(context, { ...SEEDS, organisations })).rejects.toThrow('L-NOWHERE');
    expect(await context.store.records.organisation.count()).toBe(0);
    expect(await context.store.records.car.count()).toBe(0);
    await context.store.close();
  },
  LOADING,
);
