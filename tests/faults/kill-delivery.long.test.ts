import { expect, test } from 'vitest';
import { killDelivery } from './kill-delivery.ts';

test('a delivery that is killed ten times loses nothing and sends no third copy', async () => {
  const report = await killDelivery(10, { seed: 20_261_129 });
  expect(report).toMatchObject({ lost: 0, open: 0, strangers: 0, altered: 0 });
  expect(report.kills).toBe(10);
  expect(report.letters).toBe(140);
  expect(report.mostCopies).toBeLessThanOrEqual(2);
}, 180_000);
