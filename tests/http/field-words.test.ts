import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

let shop: Workshop;
let carId: string;
beforeAll(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  ({ carId } = await fitted(shop));
});
afterAll(() => shop.close());

const car = {
  ownerId: 'o',
  registration: 'FK 2',
  handbook: {},
  keeping: { place: 'outdoors', salt: 'none', use: 'summer' },
};

describe('a refused field says in plain words what to do', () => {
  it.each([
    ['/v1/owners', { email: 'ada@example.org' }, '#/name', 'Missing. Give a text.'],
    ['/v1/owners', { name: 7, email: 'ada@example.org' }, '#/name', 'Give a text here.'],
    ['/v1/owners', { name: 'Ada', email: 'ada@example.org', shoe: 1 }, '#/shoe', 'Leave it out'],
    ['/v1/cars', { ...car, keeping: 'barn' }, '#/keeping', 'Give an object with fields here.'],
    [
      '/v1/cars',
      { ...car, keeping: { ...car.keeping, salt: 'lots' } },
      '#/keeping/salt',
      'Give one of "none", "winter-roads", "near-sea", "by-sea", "sea-front".',
    ],
    [
      '/v1/cars',
      { ...car, keeping: { ...car.keeping, foldsPerYear: 1.5 } },
      '#/keeping/foldsPerYear',
      'Give a whole number here.',
    ],
    ['/v1/hardware/hole', { thread: 8, diametersMm: 8 }, '#/diametersMm', 'Give a list here.'],
    [
      '/v1/tops',
      { carId: 'c', fittedOn: '1899-12-31' },
      '#/fittedOn',
      'Give a calendar day that exists, as YYYY-MM-DD, from 1900 to 2200.',
    ],
    ['POSITION', { at: '2026-06-12T08:00:00Z' }, '#/position', 'Missing. Give one of "raised"'],
    ['POSITION', { position: 'folded' }, '#/at', 'Missing. Give a text.'],
  ])('%s %j', async (path, body, pointer, advice) => {
    const answer = await shop.post(path === 'POSITION' ? `/v1/cars/${carId}/position` : path, body);
    expect(answer.status).toBe(400);
    const fault = answer.body.errors.find((one: { pointer: string }) => one.pointer === pointer);
    expect(fault?.detail).toContain(advice);
  });

  it('never in the words of the library', async () => {
    const answers = await Promise.all([
      shop.post('/v1/owners', []),
      shop.post('/v1/owners', { name: '', email: '', timeZone: null, language: 3 }),
      shop.post('/v1/cars', { registration: 'x'.repeat(500), handbook: { foldedLimitDays: -1 } }),
      shop.post('/v1/tops', { fittedOn: 'soon', cover: { material: 'paper' }, window: [] }),
      shop.get('/v1/cars?limit=100000'),
      shop.get('/v1/forecast?from=2026-01-01&to=x'),
    ]);
    for (const { status, body } of answers) {
      expect(status).toBe(400);
      expect(body.errors.length).toBeGreaterThan(0);
      expect(JSON.stringify(body)).not.toMatch(/invalid input|expected|too (big|small)|received/i);
    }
  });
});
