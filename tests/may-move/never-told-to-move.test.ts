import fc from 'fast-check';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { histories } from './histories.ts';
import { Life, START } from './life.ts';

eachDatabase('a top that must not be moved', ({ dialect, open }) => {
  let shop: Workshop;
  let lives = 0;
  beforeAll(async () => {
    shop = await open(`${START}T09:00:00.000Z`);
  });
  afterAll(() => shop.close());

  it(
    'is never told to be moved, whatever happens, by any letter or page',
    { timeout: 300_000 },
    async () => {
      let stayed = 0;
      await fc.assert(
        fc.asyncProperty(histories, async (history) => {
          const life = new Life(shop, history);
          await life.begin(`House ${++lives}`);
          for (const one of history.happenings) expect(await life.happen(one)).toEqual([]);
          stayed += life.stayed;
        }),
        {
          numRuns: dialect === 'sqlite' ? 30 : 6,
          seed: 20261127,
          endOnFailure: true,
        },
      );
      // A property that was never in question shows nothing.
      expect(stayed).toBeGreaterThan(dialect === 'sqlite' ? 60 : 8);
    },
  );
});
