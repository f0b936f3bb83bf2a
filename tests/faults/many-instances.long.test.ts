import { expect, it } from 'vitest';
import { INSTANCES_GOALS, manyInstances } from './rolling-restart.ts';

it('four instances on one PostgreSQL with rounds each second lose nothing and say nothing twice', async () => {
  const report = await manyInstances(4, { cars: 600, owed: 120 }, 10);
  expect(report).toMatchObject(Object.fromEntries(INSTANCES_GOALS.map((name) => [name, 0])));
  expect(report.letters - report.cancelled).toBeGreaterThanOrEqual(120);
  expect(report.writes).toBeGreaterThan(10);
}, 180_000);
