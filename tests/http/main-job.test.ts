import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

const round = (at: string, dryRun = false) => shop.post('/v1/round', { at, dryRun });
const kinds = (body: { letters: { kind: string }[] }) =>
  body.letters
    .map(({ kind }) => kind)
    .filter((kind) => kind !== 'care-note')
    .sort();

describe('a folded car over its limit and an overdue top', () => {
  it('get exactly the right letters, once', async () => {
    const { carId } = await fitted(shop, { top: { fittedOn: '2025-05-10' } });
    await shop.post(`/v1/cars/${carId}/position`, {
      position: 'folded',
      at: '2026-06-08T08:00:00Z',
    });
    const dry = await round('2026-06-12T09:00:00Z', true);
    expect(dry.status).toBe(200);
    expect(kinds(dry.body)).toEqual(['folded-over', 'lubrication-late']);
    const first = await round('2026-06-12T09:00:00Z');
    expect(kinds(first.body)).toEqual(['folded-over', 'lubrication-late']);
    const second = await round('2026-06-12T09:05:00Z');
    expect(second.body).toMatchObject({ planned: 0, cancelled: 0, letters: [] });
    const stored = await shop.get(`/v1/letters?carId=${carId}&state=planned`);
    expect(kinds({ letters: stored.body.items })).toEqual(['folded-over', 'lubrication-late']);
  });

  it('raising the top cancels the folded letter and no other', async () => {
    const { carId } = await fitted(shop, { top: { fittedOn: '2025-05-10' } });
    await shop.post(`/v1/cars/${carId}/position`, {
      position: 'folded',
      at: '2026-06-08T08:00:00Z',
    });
    await round('2026-06-12T09:00:00Z');
    shop.setNow('2026-06-12T10:00:00.000Z');
    const raised = await shop.post(`/v1/cars/${carId}/position`, {
      position: 'raised',
      at: '2026-06-12T10:00:00Z',
    });
    expect(raised.status).toBe(201);
    const cancelled = await shop.get(`/v1/letters?carId=${carId}&state=cancelled`);
    expect(cancelled.body.items.map((l: { kind: string }) => l.kind)).toEqual(['folded-over']);
    const planned = await shop.get(`/v1/letters?carId=${carId}&state=planned`);
    expect(kinds({ letters: planned.body.items })).toEqual(['lubrication-late']);
    // Withdrawing the wrong entry makes it true again, and it is written again.
    await shop.post(`/v1/cars/${carId}/position-log/${raised.body.id}/withdraw`);
    expect(kinds((await round('2026-06-12T10:05:00Z')).body)).toEqual(['folded-over']);
  });

  it('giving the car to another owner keeps what waits from the former one', async () => {
    const { carId } = await fitted(shop, { top: { fittedOn: '2025-05-10' } });
    const folded = { position: 'folded', at: '2026-06-08T08:00:00Z' };
    await shop.post(`/v1/cars/${carId}/position`, folded);
    await round('2026-06-12T09:00:00Z');
    const buyer = await shop.post('/v1/owners', { name: 'Bo', email: 'bo@example.org' });
    const ownerId: string = buyer.body.id;
    const sold = await shop.call('PATCH', `/v1/cars/${carId}`, { ownerId }, { 'if-match': '*' });
    expect(sold.status).toBe(200);
    const planned = () => shop.get(`/v1/letters?carId=${carId}&state=planned`);
    expect((await planned()).body.items).toEqual([]);
    await round('2026-06-12T09:05:00Z');
    const { items } = (await planned()).body;
    expect(kinds({ letters: items })).toEqual(['folded-over', 'lubrication-late']);
    for (const { to } of items) expect(to.address).toBe('bo@example.org');
  });

  it('a registration put right stands in the letters that wait', async () => {
    const { carId } = await fitted(shop, { top: { fittedOn: '2025-05-10' } });
    const folded = { position: 'folded', at: '2026-06-08T08:00:00Z' };
    await shop.post(`/v1/cars/${carId}/position`, folded);
    await round('2026-06-12T09:00:00Z');
    const right = { registration: 'RIGHT 1' };
    await shop.call('PATCH', `/v1/cars/${carId}`, right, { 'if-match': '*' });
    await round('2026-06-12T09:05:00Z');
    const { items } = (await shop.get(`/v1/letters?carId=${carId}&state=planned`)).body;
    expect(kinds({ letters: items })).toEqual(['folded-over', 'lubrication-late']);
    for (const { id } of items) {
      expect((await shop.get(`/v1/letters/${id}`)).body.text).toContain('RIGHT 1');
    }
  });

  it('recording the visit cancels the reminder and moves the due day', async () => {
    const { topId, carId } = await fitted(shop, { top: { fittedOn: '2025-05-10' } });
    await round('2026-06-12T09:00:00Z');
    const visit = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'lubrication',
      doneOn: '2026-06-12',
      readings: [{ pivot: 'L-MAIN', state: 'free', oiled: true, washersPresent: 2 }],
    });
    expect(visit.status).toBe(201);
    const top = await shop.get(`/v1/tops/${topId}`);
    expect(top.body.lubrication).toMatchObject({
      lastOn: '2026-06-12',
      dueOn: '2027-06-12',
      windowFrom: '2027-05-15',
      windowTo: '2027-07-03',
      state: 'ahead',
    });
    const cancelled = await shop.get(`/v1/letters?carId=${carId}&state=cancelled`);
    expect(cancelled.body.items.map((l: { kind: string }) => l.kind)).toEqual(['lubrication-late']);
  });
});

describe('a top fitted on a leap day', () => {
  it('is due on 28 February, and on the 29th again in leap years (RFC 7529, SKIP=BACKWARD)', async () => {
    shop.setNow('2024-03-01T09:00:00.000Z');
    await fitted(shop, { top: { fittedOn: '2024-02-29' } });
    const forecast = await shop.get('/v1/forecast?from=2024-03-01&to=2032-12-31');
    const due = forecast.body.items
      .filter((item: { kind: string }) => item.kind === 'lubrication-due')
      .map((item: { on: string }) => item.on);
    expect(due).toEqual([
      '2025-02-28',
      '2026-02-28',
      '2027-02-28',
      '2028-02-29',
      '2029-02-28',
      '2030-02-28',
      '2031-02-28',
      '2032-02-29',
    ]);
  });
});

describe('two cars of one owner', () => {
  it('share one letter per kind, also when the second falls due before the first has left', async () => {
    const { ownerId, carId } = await fitted(shop, { top: { fittedOn: '2025-06-12' } });
    const second = await shop.post('/v1/cars', {
      ownerId,
      registration: 'FK 2',
      handbook: {},
      keeping: { place: 'outdoors', salt: 'none', use: 'summer' },
    });
    await shop.post(`/v1/cars/${carId}/position`, {
      position: 'folded',
      at: '2026-06-09T08:00:00Z',
    });
    await shop.post(`/v1/cars/${second.body.id}/position`, {
      position: 'folded',
      at: '2026-06-09T08:30:00Z',
    });
    expect(kinds((await round('2026-06-12T08:10:00Z')).body)).toEqual([
      'folded-nearing',
      'folded-over',
      'lubrication-due',
    ]);
    const later = await round('2026-06-12T08:40:00Z');
    expect(later.body.letters).toHaveLength(1);
    expect(later.body.letters[0]).toMatchObject({ kind: 'folded-over' });
    expect(new Set(later.body.letters[0].carIds)).toEqual(new Set([carId, second.body.id]));
    const planned = await shop.get('/v1/letters?state=planned');
    expect(kinds({ letters: planned.body.items })).toEqual(['folded-over', 'lubrication-due']);
  });
});

describe('another organisation', () => {
  it('finds nothing', async () => {
    const { carId, topId, ownerId } = await fitted(shop);
    shop.key = await shop.keyFor('Another Club');
    for (const path of [
      `owners/${ownerId}`,
      `cars/${carId}`,
      `tops/${topId}`,
      `cars/${carId}/position`,
    ]) {
      expect((await shop.get(`/v1/${path}`)).status).toBe(404);
    }
    expect((await shop.get('/v1/owners')).body.items).toEqual([]);
    const logged = await shop.post(`/v1/cars/${carId}/position`, {
      position: 'folded',
      at: '2026-06-12T08:00:00Z',
    });
    expect(logged.status).toBe(404);
  });
});
