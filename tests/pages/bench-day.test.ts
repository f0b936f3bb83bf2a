import { expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import { openDesk, wordsOf } from './desk.ts';

eachDatabase('a day at the bench', ({ open }) => {
  it('is recorded from the first form to the last', async () => {
    const shop = await open('2026-06-12T09:00:00.000Z');
    const desk = await openDesk(shop);
    const added = await desk.send(await desk.open('/new'), '/new', {
      'owner/name': 'Bea Thorn',
      'owner/email': 'bea@example.org',
      registration: 'FK 77',
      'keeping/place': 'outdoors',
      'keeping/salt': 'none',
      'keeping/use': 'summer',
      fittedOn: '2025-05-20',
      framePattern: 'two-seat-manual',
      'cover/material': 'cloth',
      window: 'glass',
    });
    const car = String(added.headers.location).split('?')[0] ?? '';
    const called = await desk.send(await desk.open(car), `${car}/calls`, {
      outcome: 'booked',
      notes: 'Tuesday suits.',
    });
    const booking = String(called.headers.location).split('?')[0] ?? '';
    const room = await desk.open(booking);
    const [, week = ''] = /name="week" value="([^"]+)" class="button"/.exec(room.html) ?? [];
    const twice = await Promise.all([1, 2].map(() => desk.send(room, booking, { week })));
    expect(twice.map(({ status }) => status)).toEqual([303, 303]);
    expect(wordsOf((await desk.open(car)).html)).toContain('booked. Tuesday suits.');

    const top = booking.replace('/booking', '');
    const page = await desk.open(top);
    const [own = ''] = /\/visits\/[\w-]+/.exec(page.html) ?? [];
    const moved = await desk.send(await desk.open(own), `${own}/move`, {
      on: '2026-06-16',
      sure: 'yes',
    });
    expect(moved.headers.location).toBe(`${top}?done=moved`);
    shop.setNow('2026-06-16T15:00:00.000Z');
    const folded = { position: 'folded', damp: 'yes' };
    const evening = await openDesk(shop);
    const logged = await evening.send(await evening.open(car), `${car}/position`, folded);
    expect(logged.headers.location).toBe(`${car}?done=folded`);
    const [back = ''] =
      /\/cars\/[\w-]+\/entries\/[\w-]+\/withdraw/.exec((await evening.open(car)).html) ?? [];
    expect((await evening.send(await evening.open(car), back)).status).toBe(303);
    // The day's page leads to the form of this booking, whatever kind of visit it is.
    expect((await evening.open('/today')).html).toContain(`href="${own}/done"`);
    const done = await evening.send(await evening.open(`${own}/done`), `${own}/done`, {
      minutes: '70',
      'readings/0/state': 'stiff',
    });
    expect(done.headers.location).toMatch(/^\/visits\/[\w-]+\/record\?done=visit$/);
    const { body } = await shop.get(`/v1${top}/visits`);
    expect(body.items).toMatchObject([{ state: 'done', doneOn: '2026-06-16', minutes: 70 }]);
    const plan = await evening.open('/diary/plan');
    expect((await evening.send(plan, '/diary/plan')).headers.location).toBe('/today?done=offers');
    const renewed = await evening.send(await evening.open(`${car}/top`), `${car}/top`);
    expect(renewed.status).toBe(303);
    const [owner = ''] = /\/owners\/[\w-]+/.exec((await evening.open(car)).html) ?? [];
    const link = await evening.send(await evening.open(owner), `${owner}/links`);
    expect(link.html).toContain('https://care.example.org/o/');
    const changed = await evening.send(await evening.open(owner), owner, {
      phone: '01632 960 002',
    });
    expect(changed.headers.location).toBe(`${owner}?done=changed`);
    await shop.close();
  });
});
