import { afterEach, beforeEach, expect, it } from 'vitest';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('a round under Idempotency-Key', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    await fitted(shop, { top: { fittedOn: '2025-06-10' } });
  });
  afterEach(() => shop.close());

  const round = (key: string, body: object = {}) =>
    shop.post('/v1/round', body, { 'idempotency-key': `"${key}"` });
  const letters = () => shop.context.store.records.letter.count();
  /** Has the database refuse to keep answers, or take them again. */
  const keepAnswers = (keep: boolean) =>
    shop.context.store.writeSql((sql) =>
      sql.run(
        keep
          ? 'ALTER TABLE "idempotent_answer" RENAME COLUMN "kept" TO "requestHash"'
          : 'ALTER TABLE "idempotent_answer" RENAME COLUMN "requestHash" TO "kept"',
      ),
    );

  it('is answered as before where it is sent again, and refused for another round', async () => {
    const { status, body } = await round('a');
    expect(status).toBe(200);
    expect(body.planned).toBeGreaterThan(0);
    const again = await round('a');
    expect(again).toMatchObject({ status: 200, body });
    expect(again.headers['idempotency-replayed']).toBe('true');
    expect((await round('a', { dryRun: true })).status).toBe(422);
    expect((await round('b')).body.planned).toBe(0);
  });

  it('lets others write while it is held, and stands where its answer cannot be kept', async () => {
    await keepAnswers(false);
    expect((await round('a')).status).toBe(500);
    const written = await letters();
    expect(written).toBeGreaterThan(0);
    await keepAnswers(true);
    expect((await round('a')).body.planned).toBe(0);
    expect(await letters()).toBe(written);
    expect((await planRound(shop.context)).planned).toBe(0);
  });
});
