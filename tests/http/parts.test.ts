import { PARTS } from '../../src/domain/parts/kits.ts';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

const NOW = '2026-06-08T08:00:00.000Z';

eachDatabase('the parts to order', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open(NOW);
  });
  afterEach(() => shop.close());
  const partOf = async (part: string, query = '') => {
    const { items } = (await shop.get(`/v1/parts${query}`)).body;
    return items.find((item: { part: string }) => item.part === part);
  };
  const booked = async (count: number, week = '2026-W25') => {
    for (let i = 0; i < count; i += 1) {
      const { topId } = await fitted(shop, { top: { fittedOn: '2025-07-01' } });
      const booking = await shop.post(`/v1/tops/${topId}/booking`, { week });
      expect(booking.status).toBe(201);
    }
  };

  it('are none while nobody comes', async () => {
    const answer = await shop.get('/v1/parts');
    expect(answer.status).toBe(200);
    expect(answer.body.items).toHaveLength(PARTS.length);
    for (const item of answer.body.items) expect(item).toMatchObject({ expected: 0, quantity: 0 });
    expect(answer.body.because.every((line: string) => line.startsWith('shop rule'))).toBe(true);
  });

  it('are enough for the service level over the lead time', async () => {
    await booked(2);
    // Two booked visits, each kept with 0.9 and then in need of a bottle with 0.1: one bottle lasts
    // with a chance of 1 − 0.09² = 0.9919, none with 0.8281; 0.95 is wanted.
    const oil = await partOf('oil', '?weeks=4');
    expect(oil.expected).toBeCloseTo(0.18, 12);
    expect(oil).toMatchObject({ weeks: 4, leadWeeks: 1, visits: 2, quantity: 1, order: 1 });
    expect(oil.chanceShort).toBeCloseTo(1 - 0.8281, 12);
    expect(oil.drivers).toEqual([{ reason: 'any visit', places: 2, expected: oil.expected }]);
    // Within the lead time of a week alone, 9 to 15 June, only visits from then on count.
    expect((await partOf('oil')).visits).toBe(0);
  });

  it('follow what the joints say', async () => {
    const { topId } = await fitted(shop, { top: { fittedOn: '2025-07-01' } });
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-05-01',
      readings: [{ pivot: 'L-LINK1', state: 'seized', oiled: false, washersPresent: 1 }],
    });
    const before = await partOf('link-set', '?weeks=8');
    expect(before.drivers[0]).toMatchObject({ reason: 'joint seized', places: 1 });
    // Expected only: comes with 0.6, and needs the set with 0.95.
    expect(before.drivers[0].expected).toBeCloseTo(0.6 * 0.95, 12);
    expect((await shop.post(`/v1/tops/${topId}/booking`, { week: '2026-W26' })).status).toBe(201);
    const after = await partOf('link-set', '?weeks=8');
    expect(after.drivers[0].expected).toBeCloseTo(0.9 * 0.95, 12);
    expect(after.visits).toBe(1);
  });

  it('count a cover only once the owner has accepted it, and cables not for a shrunk one', async () => {
    const { topId } = await fitted(shop, { top: { fittedOn: '2025-12-01' } });
    const visit = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-05-01',
      findings: [{ fault: 'cover-shrunk', text: 'edge drawn up', advised: 'a new cover' }],
    });
    expect(await partOf('cover')).toMatchObject({ onOrderOnly: true, quantity: 0 });
    await shop.post(`/v1/tops/${topId}/booking`, { week: '2026-W25' });
    expect((await partOf('cable-pair', '?weeks=4')).expected).toBe(0);
    const decided = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-01',
      findings: [{ fault: 'cover-shrunk', text: 'the same', outcome: 'accepted' }],
    });
    expect([visit.status, decided.status]).toEqual([201, 201]);
    expect(await partOf('cover')).toMatchObject({ quantity: 1, order: 1, expected: 1 });
  });

  it('buy an accepted cover even where no visit is coming', async () => {
    const { topId } = await fitted(shop, { top: { fittedOn: '2026-06-01' } });
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-05',
      findings: [{ fault: 'cover-worn-through', text: 'hole', outcome: 'accepted' }],
    });
    expect(await partOf('cover')).toMatchObject({ quantity: 1 });
  });

  it('are lowered by the stock, which is kept part by part', async () => {
    await booked(2);
    const fresh = await shop.get('/v1/stock/oil');
    expect(fresh.body).toMatchObject({
      inHand: 0,
      leadWeeks: 1,
      leadFrom: 'shop rule',
      version: 0,
    });
    const put = (body: object, headers: Record<string, string> = {}) =>
      shop.call('PUT', '/v1/stock/oil', body, headers);
    const counted = await put({ inHand: 1, leadWeeks: 3 });
    expect(counted.status).toBe(200);
    expect(counted.body).toMatchObject({ inHand: 1, leadWeeks: 3, leadFrom: 'own', version: 1 });
    expect(await partOf('oil')).toMatchObject({ leadWeeks: 3, quantity: 1, inHand: 1, order: 0 });
    expect((await put({ inHand: 5 })).status).toBe(428);
    expect((await put({ inHand: 5 }, { 'if-match': '"v7"' })).status).toBe(412);
    const again = await put(
      { inHand: 0, onOrder: 2, leadWeeks: null },
      { 'if-match': String(counted.headers['etag']) },
    );
    expect(again.body).toMatchObject({ inHand: 0, onOrder: 2, leadFrom: 'shop rule', version: 2 });
    expect(await partOf('oil', '?weeks=4')).toMatchObject({ inHand: 2, order: 0 });
    shop.key = await shop.keyFor('Another Club');
    expect((await shop.get('/v1/stock/oil')).body).toMatchObject({ inHand: 0, version: 0 });
    expect((await shop.get('/v1/stock')).body.items).toHaveLength(PARTS.length);
    expect((await partOf('oil', '?weeks=4')).visits).toBe(0);
    expect((await put({ inHand: 9 })).body.version).toBe(1);
  });

  it('of two first counts at once, one is written and the other told', async () => {
    const put = (inHand: number) => shop.call('PUT', '/v1/stock/cover', { inHand });
    const answers = await Promise.all([put(1), put(2), put(3)]);
    expect(answers.filter(({ status }) => status === 200)).toHaveLength(1);
    for (const { status } of answers) expect([200, 412, 428]).toContain(status);
    expect((await shop.get('/v1/stock/cover')).body.version).toBe(1);
  });

  it('are refused by field where the question is impossible', async () => {
    const faulty: readonly (readonly [string, string, object | undefined, string])[] = [
      ['GET', '/v1/parts?weeks=0', undefined, 'weeks'],
      ['GET', '/v1/parts?weeks=105', undefined, 'weeks'],
      ['GET', '/v1/stock/glue', undefined, 'part'],
      ['PUT', '/v1/stock/oil', { inHand: -1 }, '#/inHand'],
      ['PUT', '/v1/stock/oil', { inHand: 1.5 }, '#/inHand'],
      ['PUT', '/v1/stock/oil', { leadWeeks: 1 }, '#/inHand'],
      ['PUT', '/v1/stock/oil', { inHand: 1, leadWeeks: 53 }, '#/leadWeeks'],
      ['PUT', '/v1/stock/oil', { inHand: 1, price: 3 }, '#/price'],
    ];
    for (const [method, path, body, pointer] of faulty) {
      const answer = await shop.call(method, path, body);
      expect(answer.status).toBe(400);
      expect(answer.body.errors[0].pointer).toBe(pointer);
    }
    expect((await shop.get('/v1/stock/oil')).body.version).toBe(0);
  });
});
