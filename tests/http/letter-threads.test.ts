import { afterEach, beforeEach, expect, it } from 'vitest';
import type { LetterRow } from '../../src/store/letters/letter-rows.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('letters on one matter', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-01T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  const round = async (at: string) => {
    shop.setNow(at);
    await shop.post('/v1/round', { at });
  };
  const become = (state: string) =>
    shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "letter" SET "state" = ? WHERE "state" = 'planned'`, [state]),
    );
  /** What the letters of these kinds refer to, by the kinds of the letters that they name. */
  const threads = async (kinds: string) => {
    const rows = await shop.context.store.sql.all<LetterRow>(
      `SELECT * FROM "letter" WHERE "kind" LIKE ? ORDER BY "id"`,
      [kinds],
    );
    const kindOf = new Map(rows.map(({ messageId, kind }) => [messageId, kind]));
    return rows.map(({ kind, refersTo }) => [
      kind,
      ...(refersTo?.split(' ').map((id) => kindOf.get(id) ?? id) ?? []),
    ]);
  };

  it('refer to those that reached their reader, oldest first (RFC 5322, 3.6.4)', async () => {
    const { carId } = await fitted(shop, { top: { fittedOn: '2026-05-01' } });
    await shop.post(`/v1/cars/${carId}/position`, {
      position: 'folded',
      at: '2026-06-01T08:00:00Z',
    });
    await round('2026-06-03T09:00:00.000Z');
    await become('delivered');
    await round('2026-06-04T09:00:00.000Z');
    await become('failed');
    await round('2026-06-11T09:00:00.000Z');
    await become('unknown');
    await round('2026-06-18T09:00:00.000Z');
    expect(await threads('folded-%')).toEqual([
      ['folded-nearing'],
      ['folded-over', 'folded-nearing'],
      ['folded-still', 'folded-nearing'],
      ['folded-still', 'folded-nearing', 'folded-still'],
    ]);
  });

  it('begin afresh with another stretch, another due day, another visit', async () => {
    const { carId, topId } = await fitted(shop, { top: { fittedOn: '2025-07-01' } });
    const log = (position: string, at: string) =>
      shop.post(`/v1/cars/${carId}/position`, { position, at });
    await round('2026-06-05T09:00:00.000Z');
    await become('delivered');
    await round('2026-07-01T09:00:00.000Z');
    await become('delivered');
    await log('folded', '2026-07-01T09:00:00Z');
    await round('2026-07-04T10:00:00.000Z');
    await become('delivered');
    await log('raised', '2026-07-04T10:00:00Z');
    shop.setNow('2026-07-06T10:00:00.000Z');
    await log('folded', '2026-07-06T10:00:00Z');
    await round('2026-07-10T10:00:00.000Z');
    expect(await threads('folded-%')).toEqual([['folded-over'], ['folded-over']]);
    expect(await threads('lubrication-%')).toEqual([
      ['lubrication-ahead'],
      ['lubrication-due', 'lubrication-ahead'],
    ]);
    const book = () =>
      shop.post(`/v1/tops/${topId}/visits`, { kind: 'look', plannedOn: '2026-08-03' });
    const change = (id: string, body: object) =>
      shop.call('PATCH', `/v1/visits/${id}`, body, { 'if-match': '*' });
    const first = await book();
    await become('delivered');
    await change(first.body.id, { plannedOn: '2026-08-04' });
    await become('delivered');
    await book();
    await change(first.body.id, { state: 'cancelled' });
    expect(await threads('visit-%')).toEqual([
      ['visit-booked'],
      ['visit-moved', 'visit-booked'],
      ['visit-booked'],
      ['visit-called-off', 'visit-booked', 'visit-moved'],
    ]);
  });
});
