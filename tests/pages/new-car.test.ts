import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { fieldsIn, openDesk, wordsOf } from './desk.ts';
import { wholeDatabase } from './link-for.ts';

let shop: Workshop;
let desk: Desk;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
});
afterEach(() => shop.close());

const WHOLE = {
  'owner/name': 'Bea Thorn',
  'owner/email': 'bea@example.org',
  registration: 'FK 77',
  'keeping/place': 'dry-garage',
  'keeping/salt': 'winter-roads',
  'keeping/use': 'summer',
  'keeping/foldsPerYear': '80',
  'handbook/foldFloorCelsius': '-5',
  fittedOn: '2026-06-10',
  framePattern: 'two-seat-manual',
  'cover/material': 'vinyl',
  window: 'clear-vinyl',
  'warranties/1/part': 'cover',
  'warranties/1/months': '60',
};

describe('a new car in care', () => {
  it('is taken in one go: owner, car and top', async () => {
    for (const url of ['/today', '/tops', '/find']) {
      expect((await desk.open(url)).html).toContain('href="/new"');
    }
    const page = await desk.open('/new');
    // An old car that comes new into care has no top that was fitted today.
    expect(fieldsIn(page.html, '/new')['fittedOn']).toBe('');
    const answer = await desk.send(page, '/new', WHOLE);
    expect(answer.status).toBe(303);
    const repeated = await desk.send(page, '/new', WHOLE);
    expect(repeated.headers.location).toBe(answer.headers.location);
    const [car, ...more] = (await shop.get('/v1/cars')).body.items;
    expect(more).toEqual([]);
    expect(answer.headers.location).toBe(`/cars/${car.id}?done=added`);
    expect(car).toMatchObject({
      registration: 'FK 77',
      handbook: { foldedLimitDays: 3, foldFloorCelsius: -5 },
      keeping: { place: 'dry-garage', salt: 'winter-roads', use: 'summer', foldsPerYear: 80 },
    });
    expect((await shop.get(`/v1/owners/${car.ownerId}`)).body).toMatchObject({
      name: 'Bea Thorn',
      email: 'bea@example.org',
      phone: null,
      timeZone: 'Europe/London',
    });
    const [top] = (await shop.get(`/v1/tops?carId=${car.id}`)).body.items;
    expect(top).toMatchObject({
      fittedOn: '2026-06-10',
      framePattern: 'two-seat-manual',
      cover: { material: 'vinyl' },
      window: 'clear-vinyl',
      powered: false,
      warranties: [{ part: 'cover', months: 60, endsOn: '2031-06-10' }],
    });
    expect(wordsOf((await desk.open(answer.headers.location as string)).html)).toContain(
      'The car is in care.',
    );
  });

  it('writes nothing at all where a part of it is refused, and keeps what was typed', async () => {
    const before = await wholeDatabase(shop);
    const page = await desk.open('/new');
    const wrong = await desk.send(page, '/new', {
      ...WHOLE,
      'owner/email': 'bea',
      'keeping/salt': 'pepper',
      framePattern: '',
      'warranties/1/months': 'many',
    });
    expect(wrong.status).toBe(400);
    const faultAt = (html: string, name: string) =>
      wordsOf(new RegExp(`id="${name}-fault">(.*?)</p>`, 's').exec(html)?.[1] ?? '');
    expect(faultAt(wrong.html, 'owner-email')).toContain('Give one plain address');
    expect(faultAt(wrong.html, 'keeping-salt')).toContain('Choose one of the list.');
    expect(faultAt(wrong.html, 'framePattern')).toContain('Fill this in.');
    expect(faultAt(wrong.html, 'warranties-1-months')).toContain('Give a number here.');
    expect(fieldsIn(wrong.html, '/new')).toMatchObject({
      'owner/name': 'Bea Thorn',
      'keeping/place': 'dry-garage',
      'warranties/1/months': 'many',
    });
    // Only the last of the three deeds can know of this one.
    const ahead = await desk.send(page, '/new', { ...WHOLE, fittedOn: '2026-06-20' });
    expect(ahead.status).toBe(400);
    expect(faultAt(ahead.html, 'fittedOn')).toContain('still to come');
    const unknown = await desk.send(page, '/new', { ...WHOLE, framePattern: 'no-such-frame' });
    expect(faultAt(unknown.html, 'framePattern')).toContain('Choose one of the list.');
    expect(await wholeDatabase(shop)).toBe(before);
  });

  it('can belong to an owner who is known', async () => {
    const { ownerId } = await fitted(shop);
    const page = await desk.open(`/new?owner=${ownerId}`);
    expect(wordsOf(page.html)).toContain('Ada Quill');
    const car = Object.fromEntries(
      Object.entries(WHOLE).filter(([name]) => !name.startsWith('owner')),
    );
    const wrong = await desk.send(page, '/new', { ...car, registration: '' });
    expect(fieldsIn(wrong.html, '/new')['owner']).toBe(ownerId);
    expect((await desk.send(wrong, '/new', { registration: 'FK 78' })).status).toBe(303);
    const cars = (await shop.get(`/v1/cars?ownerId=${ownerId}`)).body.items;
    expect(cars).toHaveLength(2);
    expect((await shop.get('/v1/owners')).body.items).toHaveLength(1);
    const stranger = await openDesk(shop, await shop.keyFor('Another Club'));
    expect((await stranger.open(`/new?owner=${ownerId}`)).status).toBe(404);
    const theirs = fieldsIn((await stranger.open('/new')).html, '/new');
    const taken = await stranger.post('/new', { ...theirs, ...car, owner: ownerId });
    expect(taken.status).toBe(404);
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    expect((await reader.open('/new')).status).toBe(403);
    expect((await reader.post('/new', { ...theirs, ...WHOLE })).status).toBe(403);
    for (const url of ['/today', '/tops', '/find']) {
      expect((await reader.open(url)).html).not.toContain('href="/new"');
    }
    expect((await shop.get('/v1/cars')).body.items).toHaveLength(2);
  });
});

describe('a re-cover', () => {
  it('says that it retires the old top, then does, once', async () => {
    const { carId, topId } = await fitted(shop);
    const path = `/cars/${carId}/top`;
    expect((await desk.open(`/cars/${carId}`)).html).toContain(`href="${path}"`);
    const page = await desk.open(path);
    expect(wordsOf(page.html)).toContain(
      'The top that was fitted on Sunday, 10 March 2024 is retired',
    );
    expect(fieldsIn(page.html, path)).toMatchObject({
      framePattern: 'four-seat-manual',
      'cover/material': 'cloth',
      fittedOn: '12 Jun 2026',
    });
    const early = await desk.send(page, path, { fittedOn: '2024-03-10', window: 'glass-bonded' });
    expect(early.status).toBe(400);
    expect(wordsOf(early.html)).toContain('A new one must be fitted after it.');
    expect(fieldsIn(early.html, path)['window']).toBe('glass-bonded');
    for (const _ of [1, 2]) {
      const answer = await desk.send(early, path, { fittedOn: '2026-06-11' });
      expect(answer.headers.location).toMatch(/^\/tops\/[\w-]+\?done=fitted$/);
    }
    const tops = (await shop.get(`/v1/tops?carId=${carId}`)).body.items;
    expect(tops).toMatchObject([
      { id: topId, retiredOn: '2026-06-11' },
      { fittedOn: '2026-06-11', retiredOn: null, window: 'glass-bonded' },
    ]);
    // A retired top can be read, and a visit of its days recorded, but none booked.
    expect((await desk.open(`/tops/${topId}`)).html).not.toContain('/booking"');
    const booking = await desk.open(`/tops/${topId}/booking`);
    expect(wordsOf(booking.html)).toContain('Book for the top that is on the car.');
    expect(booking.html).not.toContain('name="week"');
    const visit = await desk.open(`/tops/${topId}/visit`);
    expect(fieldsIn(visit.html, `/tops/${topId}/visit`)['doneOn']).toBe('11 Jun 2026');
  });

  it('is closed to other organisations and to keys that only read', async () => {
    const { carId } = await fitted(shop);
    const path = `/cars/${carId}/top`;
    const fields = fieldsIn((await desk.open(path)).html, path);
    const stranger = await openDesk(shop, await shop.keyFor('Another Club'));
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    expect((await stranger.open(path)).status).toBe(404);
    expect((await stranger.post(path, fields)).status).toBe(404);
    expect((await reader.open(path)).status).toBe(403);
    expect((await reader.post(path, fields)).status).toBe(403);
    expect((await shop.get(`/v1/tops?carId=${carId}`)).body.items).toHaveLength(1);
  });
});
