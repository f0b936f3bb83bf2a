import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { browse, linkFor } from '../pages/link-for.ts';

const NOW = '2026-06-08T09:00:00.000Z';
const SEIZED = [{ pivot: 'R-MAIN', state: 'seized', oiled: false }];

/** What tells a reader to move the top; it must not stand in anything about a top that has to stay. */
const TELLS_TO_MOVE =
  /raise (?:it|the top)|latch it|half open the top|move the top (?:three|gently)|I raised it|I folded it|I oiled the pivots|choose a week|log an oiling/i;

eachDatabase('a car that stands folded with a seized joint', ({ open }) => {
  let shop: Workshop;
  let car: CarAndTop;
  beforeAll(async () => {
    shop = await open(NOW);
    car = await fitted(shop, {
      owner: { phone: '01632 960 001' },
      car: { registration: 'STUCK' },
      top: { fittedOn: '2025-06-10' },
    });
    await shop.post(`/v1/cars/${car.carId}/position`, {
      position: 'folded',
      at: '2026-06-02T08:00:00Z',
    });
  });
  afterAll(() => shop.close());

  const visit = (body: object) => shop.post(`/v1/tops/${car.topId}/visits`, body);
  const letters = async () => (await shop.get('/v1/letters?limit=50')).body.items;
  const alarm = async () =>
    (await letters()).find(
      ({ kind, state }: { kind: string; state: string }) =>
        kind === 'folded-over' && state === 'planned',
    );
  const today = async () => {
    const signedIn = await browse(shop, 'POST', '/sign-in', { key: shop.key });
    const cookie = String(signedIn.headers['set-cookie']).split(';')[0] ?? '';
    return (await browse(shop, 'GET', '/today', undefined, { cookie })).html;
  };

  it('is told to be raised while nothing speaks against it', async () => {
    await planRound(shop.context, {});
    expect((await alarm()).text).toContain('Raise the top in one go and latch it');
  });

  it('is told to be left once the joint is found seized, and the letter that waits does not leave', async () => {
    expect((await visit({ kind: 'look', doneOn: '2026-06-08', readings: SEIZED })).status).toBe(
      201,
    );
    expect(await alarm()).toBeUndefined();
    await planRound(shop.context, {});
    const { subject, text, html } = await alarm();
    expect(subject).toBe('Your top: please leave it as it is for now');
    for (const said of [text, html]) {
      expect(said).not.toMatch(TELLS_TO_MOVE);
      expect(said).toContain('right main pivot: seized, it does not turn');
      expect(said).toContain('Cover it loosely');
    }
    // First of all, before anything else about the car.
    expect(text.indexOf('Do not move the top of STUCK')).toBeLessThan(text.indexOf('Folded since'));
  });

  it('says so in the report of the visit too', async () => {
    const report = (await letters()).find(({ kind }: { kind: string }) => kind === 'visit-report');
    expect(report.text).toContain('Do not move the top of STUCK');
    expect(report.text).not.toMatch(TELLS_TO_MOVE);
  });

  it('says so first on the owner’s page and card, and offers no button to move or oil it', async () => {
    const path = await linkFor(shop, car.ownerId, 'owner-page');
    for (const page of [path, `${path}/card`]) {
      const { html } = await browse(shop, 'GET', page);
      expect(html).toContain('Please leave the top as it is');
      expect(html).not.toMatch(TELLS_TO_MOVE);
      expect(html).not.toContain('The pivots have oil');
    }
  });

  it('heads the day and the calls, although an oiling is booked', async () => {
    const booked = await visit({ kind: 'lubrication', plannedOn: '2026-07-08' });
    expect(booked.status).toBe(201);
    const { items } = (await shop.get('/v1/calls')).body;
    expect(items[0]).toMatchObject({ carId: car.carId, mustStay: true });
    const html = await today();
    expect(html.indexOf('Must not be moved')).toBeGreaterThan(0);
    expect(html.indexOf('Must not be moved')).toBeLessThan(html.indexOf('Ring first'));
    expect(html).toContain('Ring: it must stay as it is.');
  });

  it('gives verdict and reason to programs', async () => {
    const reason = { sign: 'seized', pivot: 'R-MAIN', on: '2026-06-08' };
    const mayMove = { verdict: 'leave', reasons: [reason], repairOn: null };
    expect((await shop.get(`/v1/tops/${car.topId}`)).body).toMatchObject({ mayMove });
    expect((await shop.get(`/v1/cars/${car.carId}/position`)).body).toMatchObject({ mayMove });
  });

  it('leaves the calls once the repair is booked, and shows its day', async () => {
    const booked = await visit({ kind: 'repair', plannedOn: '2026-06-15' });
    expect(booked.status).toBe(201);
    expect((await shop.get('/v1/calls')).body.items).toEqual([]);
    expect(await today()).toMatch(/Repair booked for [^<]*15 June 2026/);
    const path = await linkFor(shop, car.ownerId, 'owner-page');
    expect((await browse(shop, 'GET', path)).html).toContain('The repair is booked for');
  });

  it('may be moved again once the joint is repaired, and is asked to be raised', async () => {
    shop.setNow('2026-06-15T15:00:00.000Z');
    const repaired = [{ pivot: 'R-MAIN', state: 'free', oiled: true, repaired: true }];
    await visit({ kind: 'repair', doneOn: '2026-06-15', readings: repaired });
    expect((await shop.get(`/v1/tops/${car.topId}`)).body.mayMove.verdict).toBe('free');
    await planRound(shop.context, {});
    const waiting = (await letters()).filter(
      ({ kind, state }: { kind: string; state: string }) =>
        kind.startsWith('folded-') && state === 'planned',
    );
    expect(waiting).toHaveLength(1);
    expect(waiting[0].text).toContain('Raise the top in one go');
    const path = await linkFor(shop, car.ownerId, 'owner-page');
    expect((await browse(shop, 'GET', path)).html).toContain('I raised it');
  });
});

describe('the words that tell a reader to move a top', () => {
  it('are known as such', () => {
    expect('Raise the top in one go and latch it.').toMatch(TELLS_TO_MOVE);
  });
});
