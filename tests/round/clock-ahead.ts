import { expect, it } from 'vitest';
import { addDays } from '../../src/domain/calendar/day.ts';
import { checkClock } from '../../src/usecases/organisations/readiness.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import type { Databases } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { deliverAll } from './deliver-all.ts';

const START = '2026-06-01';

/** Tries rounds held while a clock was wrong by so many days, one after the other. */
export function tryClockAhead({ open }: Databases, wrongBy: readonly number[]): void {
  const shopWithCars = async (): Promise<Workshop> => {
    const shop = await open(`${START}T09:00:00.000Z`);
    for (const [i, fittedOn] of [
      '2025-04-20',
      '2025-07-20',
      '2025-06-10',
      '2026-03-01',
    ].entries()) {
      const { carId } = await fitted(shop, {
        owner: { name: `Owner ${i}`, email: `owner${i}@example.org` },
        car: { registration: `FK ${i}` },
        top: { fittedOn },
      });
      if (i % 2 === 0) {
        await shop.post(`/v1/cars/${carId}/position`, {
          position: 'folded',
          at: `${START}T0${i + 2}:00:00Z`,
        });
      }
    }
    return shop;
  };
  /** A round a day, and everything that leaves in between does leave. */
  const ninetyDays = async (shop: Workshop, from: number): Promise<string[]> => {
    const left: string[] = [];
    for (let day = from; day < 90; day++) {
      const now = `${addDays(START, day)}T12:00:00.000Z`;
      shop.setNow(now);
      await planRound(shop.context);
      for (const { subject, to } of await deliverAll(shop)) {
        left.push(`${addDays(START, day)} ${subject} ${to}`);
      }
    }
    return left.sort();
  };

  /** What a shop gets whose clock was never wrong; the same for every fault of a clock. */
  let untouched: Promise<string[]> | null = null;
  const leftByRight = async (): Promise<string[]> => {
    const shop = await shopWithCars();
    try {
      return await ninetyDays(shop, 0);
    } finally {
      await shop.close();
    }
  };

  it.each(wrongBy)(
    'by %i days leaves the same letters as one that was right',
    { timeout: 180_000 },
    async (days) => {
      const right = await (untouched ??= leftByRight());
      const shop = await shopWithCars();
      const wrong = `${addDays(START, days)}T12:00:00.000Z`;
      try {
        expect(right.length).toBeGreaterThan(10);
        // By a machine whose clock is wrong, by the command and by the API: all come to this.
        await planRound(shop.context, { at: wrong });
        shop.setNow(wrong);
        await planRound(shop.context);
        shop.setNow(`${START}T11:00:00.000Z`);
        expect((await checkClock(shop.context)) === 'ok').toBe(days < 0);
        expect(await ninetyDays(shop, 0)).toEqual(right);
      } finally {
        await shop.close();
      }
    },
  );
}
