import { afterEach, expect, it } from 'vitest';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

interface Letter {
  readonly id: string;
  readonly kind: string;
}

eachDatabase('a due day that a find puts into the past', ({ open }) => {
  let shop: Workshop;
  let car: CarAndTop;
  afterEach(() => shop.close());

  // Fitted in April for a year; the stiff joint halves it, shop rule: 5 October, which is over.
  const found = async (language = 'en') => {
    shop = await open('2026-11-20T09:00:00.000Z');
    car = await fitted(shop, { owner: { language }, top: { fittedOn: '2026-04-05' } });
    const visit = await shop.post(`/v1/tops/${car.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-11-20',
      readings: [{ pivot: 'L-MAIN', state: 'stiff', oiled: false }],
    });
    expect(visit.status).toBe(201);
    const { body: top } = await shop.get(`/v1/tops/${car.topId}`);
    expect(top.lubrication.dueOn).toBe('2026-10-05');
  };
  const wordsOf = async (kind: string, at: string) => {
    shop.setNow(at);
    const { body } = await shop.post('/v1/round', { at });
    const letter = body.letters.find((one: Letter) => one.kind === kind);
    expect(body.letters.map((one: Letter) => one.kind)).toContain(kind);
    return (await shop.get(`/v1/letters/${letter.id}`)).body.text.replaceAll(/\s+/g, ' ');
  };

  it('is told as due since the find, and as late so long after it', async () => {
    await found();
    const forecast = await shop.get('/v1/forecast?from=2026-11-20&to=2026-12-31');
    const foreseen = forecast.body.items.map((one: Letter) => one.kind);
    expect(foreseen).toContain('lubrication-due');
    expect(foreseen).not.toContain('lubrication-late');
    const due = await wordsOf('lubrication-due', '2026-11-21T09:00:00.000Z');
    expect(due).toContain('fall due on Friday, 20 November 2026');
    expect(due).toContain(
      'On Friday, 20 November 2026 a joint was found stiff or without a washer. That shortens the time to the next oil (shop rule), so the oil has been due since that day.',
    );
    expect(due).not.toContain('October');
    // By the shop rule the first letter of lateness comes 21 days after.
    const late = await wordsOf('lubrication-late', '2026-12-11T09:00:00.000Z');
    expect(late).toContain('were due on Friday, 20 November 2026, 21 days ago');
    expect(late).not.toContain('October');
  });

  it('is told so in German', async () => {
    await found('de');
    const due = await wordsOf('lubrication-due', '2026-11-21T09:00:00.000Z');
    expect(due).toContain('seit diesem Tag ist es fällig');
    expect(due).not.toContain('Oktober');
  });

  it('is no day of lateness on the owner’s page', async () => {
    await found();
    const page = await browse(shop, 'GET', await linkFor(shop, car.ownerId, 'owner-page'));
    expect(page.html).toContain('since that day the pivots want oil');
    expect(page.html).not.toContain('5 October');
  });

  it('counts from the due day again where the find was mended or came before it', async () => {
    await found();
    shop.setNow('2026-11-21T09:00:00.000Z');
    await shop.post(`/v1/tops/${car.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-11-21',
      readings: [{ pivot: 'L-MAIN', state: 'free', oiled: false }],
    });
    const { body: top } = await shop.get(`/v1/tops/${car.topId}`);
    expect(top.lubrication.dueOn).toBe('2027-04-05');
    const page = await browse(shop, 'GET', await linkFor(shop, car.ownerId, 'owner-page'));
    expect(page.html).not.toContain('since that day the pivots want oil');
  });
});
