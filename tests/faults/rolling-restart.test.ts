import { expect, it } from 'vitest';
import { rollingRestart } from './rolling-restart.ts';

it('restarts two instances in turn without a lost or a repeated letter', async () => {
  const report = await rollingRestart(2, 120);
  expect(report).toMatchObject({ lost: 0, twice: 0, stuck: 0, unwilling: 0 });
  expect(report).toMatchObject({ restarts: 2, writesLost: 0, writesTwice: 0 });
  expect(report.letters - report.cancelled).toBeGreaterThanOrEqual(120);
  expect(report.writes).toBeGreaterThan(10);
}, 120_000);
