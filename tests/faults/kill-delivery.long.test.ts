import { expect, test } from 'vitest';
import { killDelivery } from './kill-delivery.ts';
import { LETTER_GOALS } from './letters-after-kills.ts';

test.each(['sqlite', 'postgresql'] as const)(
  'a delivery on %s that is killed ten times loses nothing and sends no third copy',
  async (dialect) => {
    const report = await killDelivery(dialect, 10, { seed: 20_261_129 });
    expect(report).toMatchObject(Object.fromEntries(LETTER_GOALS.map((name) => [name, 0])));
    expect(report.kills).toBe(10);
    expect(report.letters).toBe(140);
  },
  180_000,
);
