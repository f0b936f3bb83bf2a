import { expect, it } from 'vitest';
import { INSTANCES_GOALS, rollingRestart } from './rolling-restart.ts';

it('restarts two instances in turn without a lost or a repeated letter', async () => {
  const report = await rollingRestart(2, 120);
  expect(report).toMatchObject(Object.fromEntries(INSTANCES_GOALS.map((name) => [name, 0])));
  expect(report.restarts).toBe(2);
  expect(report.letters - report.cancelled).toBeGreaterThanOrEqual(120);
  expect(report.writes).toBeGreaterThan(10);
}, 120_000);
