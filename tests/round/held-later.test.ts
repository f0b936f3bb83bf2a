import { afterEach, beforeEach, expect, it } from 'vitest';
import { heldLaterThan, latestLook } from '../../src/store/cars/round-held-rows.ts';
import { storeLooks } from '../../src/store/cars/look-rows.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

const NOW = '2026-06-08T09:00:00.000Z';
const AHEAD = '2028-06-08T09:00:00.000Z';
const BETWEEN = '2027-06-08T09:00:00.000Z';

eachDatabase('the instants that rounds were held at', ({ open }) => {
  let shop: Workshop;
  let cars: Awaited<ReturnType<typeof fitted>>[];
  beforeEach(async () => {
    shop = await open(NOW);
    cars = [];
    for (const name of ['Ada', 'Bea', 'Cleo']) {
      cars.push(
        await fitted(shop, {
          owner: { name, email: `${name.toLowerCase()}@example.org` },
          car: { registration: name.toUpperCase() },
          top: { fittedOn: '2025-04-20' },
        }),
      );
    }
  });
  afterEach(() => shop.close());

  const later = (at: string) => heldLaterThan(shop.context.store.sql, at);
  const lookedAt = async () =>
    (await shop.context.store.sql.all<{ lookedAt: string }>('SELECT "lookedAt" FROM "car"')).map(
      (car) => car.lookedAt,
    );

  it('are one, however many rounds there were', async () => {
    for (const at of ['2026-06-08T10:00:00.000Z', '2026-06-09T10:00:00.000Z', BETWEEN]) {
      await planRound(shop.context, { at });
      expect(await latestLook(shop.context.store.sql)).toBe(at);
    }
    const notes = await shop.context.store.sql.all('SELECT * FROM "round_held"');
    expect(notes).toHaveLength(1);
  });

  it('are those of a true round again, once it has looked at whatever was looked at later', async () => {
    await planRound(shop.context, { at: AHEAD });
    expect(await later(NOW)).not.toEqual([]);
    const { planned } = await planRound(shop.context);
    expect(planned).toBeGreaterThan(0);
    expect(await lookedAt()).toEqual([NOW, NOW, NOW]);
    expect(await later(NOW)).toEqual([]);
    expect(await latestLook(shop.context.store.sql)).toBe(NOW);
  });

  it('stay for a dry round, one of one organisation, and one that set an owner aside', async () => {
    await planRound(shop.context, { at: AHEAD });
    await planRound(shop.context, { dryRun: true });
    expect(await later(NOW)).not.toEqual([]);
    const { id: organisationId } = await shop.context.store.records.organisation.findFirstOrThrow();
    await planRound(shop.context, { organisationId });
    expect(await lookedAt()).toEqual([NOW, NOW, NOW]);
    expect(await later(NOW)).not.toEqual([]);

    await planRound(shop.context, { at: AHEAD });
    const language = (value: string) =>
      shop.context.store.writeSql((sql) =>
        sql.run('UPDATE "owner" SET "language" = ? WHERE "id" = ?', [
          value,
          cars[1]?.ownerId ?? '',
        ]),
      );
    await language('en-GB-GB');
    expect((await planRound(shop.context)).setAside).toBe(1);
    expect((await lookedAt()).sort()).toEqual([NOW, NOW, AHEAD]);
    expect(await later(NOW)).not.toEqual([]);
    await language('en-GB');
    expect((await planRound(shop.context)).setAside).toBe(0);
    expect(await lookedAt()).toEqual([NOW, NOW, NOW]);
    expect(await later(NOW)).toEqual([]);
  });

  it('cover a car looked at in between by a clock that was ahead as well', async () => {
    const look = (n: number, at: string) =>
      shop.context.store.writeSql((sql) =>
        storeLooks(sql, [{ id: cars[n]?.carId ?? '', lookAt: null }], at),
      );
    await planRound(shop.context);
    await look(2, NOW);
    await look(0, BETWEEN);
    // The later note stands for the earlier, and its car goes.
    await look(1, AHEAD);
    await look(1, NOW);
    // Nothing is due, so this round itself looks at none.
    await planRound(shop.context, { at: '2027-12-01T09:00:00.000Z' });
    expect(await later(NOW)).not.toEqual([]);
    await planRound(shop.context);
    expect(await lookedAt()).toEqual([NOW, NOW, NOW]);
    expect(await later(NOW)).toEqual([]);
  });
});
