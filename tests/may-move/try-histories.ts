import fc from 'fast-check';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Databases } from '../setup/databases.ts';
import { onPostgresql, onSqlite } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { histories } from './histories.ts';
import { Life, START } from './life.ts';

/** So many generated histories, and how many times at least a top had to stay in them. */
export interface Tried {
  readonly histories: number;
  readonly stays: number;
  /** How often at the least a letter of its own had said so. */
  readonly alone: number;
}

/** Tries that no letter and no page tells anybody to move a top that must stay. */
export function tryHistories(tried: Readonly<Partial<Record<Databases['dialect'], Tried>>>): void {
  const { sqlite, postgresql } = tried;
  const name = 'a top that must not be moved';
  if (sqlite !== undefined) onSqlite(name, ({ open }) => holdOver(sqlite, open));
  if (postgresql !== undefined) onPostgresql(name, ({ open }) => holdOver(postgresql, open));
}

function holdOver(tried: Tried, open: Databases['open']): void {
  let shop: Workshop;
  let lives = 0;
  beforeAll(async () => {
    shop = await open(`${START}T09:00:00.000Z`);
  });
  afterAll(() => shop.close());

  it(
    'is never told to be moved, whatever happens, by any letter or page',
    { timeout: 900_000 },
    async () => {
      let stayed = 0;
      let alone = 0;
      await fc.assert(
        fc.asyncProperty(histories, async (history) => {
          const life = new Life(shop, history);
          await life.begin(`Works ${++lives}`);
          for (const one of history.happenings) expect(await life.happen(one)).toEqual([]);
          stayed += life.stayed;
          alone += life.toldAlone;
        }),
        { numRuns: tried.histories, seed: 20261127, endOnFailure: true },
      );
      // A property that was never in question shows nothing.
      expect(stayed).toBeGreaterThan(tried.stays);
      expect(alone).toBeGreaterThanOrEqual(tried.alone);
    },
  );
}
