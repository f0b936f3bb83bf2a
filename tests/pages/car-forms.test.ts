import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { CALL_OUTCOMES } from '../../src/domain/calls/earlier-calls.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { fieldsIn, openDesk, wordsOf } from './desk.ts';

let shop: Workshop;
let desk: Desk;
let ids: CarAndTop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
  // Late by a year: the car stands in the call list.
  ids = await fitted(shop, { top: { fittedOn: '2024-05-01' } });
});
afterEach(() => shop.close());

const callsMade = () => shop.context.store.records.callEntry.findMany({ orderBy: { id: 'asc' } });

describe('noting a call', () => {
  const path = () => `/cars/${ids.carId}/calls`;

  it('has a button for every outcome and goes back to the page it came from', async () => {
    const today = await desk.open('/today');
    for (const outcome of CALL_OUTCOMES) expect(today.html).toContain(`value="${outcome}"`);
    const answer = await desk.send(today, path(), { outcome: 'reached', notes: 'Rings back.' });
    expect([answer.status, answer.headers.location]).toEqual([303, '/today?done=call']);
    expect(await callsMade()).toMatchObject([
      { carId: ids.carId, outcome: 'reached', notes: 'Rings back.', calledOn: '2026-06-12' },
    ]);
    const car = await desk.open(`/cars/${ids.carId}`);
    expect(wordsOf(car.html)).toMatch(/12 June 2026: reached\. Rings back\./);
    const second = await desk.send(car, path(), { outcome: 'no-answer' });
    expect(second.headers.location).toBe(`/cars/${ids.carId}?done=call`);
    expect((await callsMade())[1]).toMatchObject({ outcome: 'no-answer', notes: null });
  });

  it('goes on to the week where the owner wants a visit', async () => {
    const answer = await desk.send(await desk.open('/today'), path(), { outcome: 'booked' });
    expect(answer.headers.location).toBe(`/tops/${ids.topId}/booking?done=call`);
    const booking = await desk.open(answer.headers.location as string);
    expect(wordsOf(booking.html)).toContain('The call is noted. Now the week.');
  });

  it('keeps what was typed where no outcome was pressed, and is noted once', async () => {
    const today = await desk.open('/today');
    const answer = await desk.send(today, path(), { notes: 'Rings back at six.' });
    expect(answer.status).toBe(400);
    expect(wordsOf(answer.html)).toContain('Not recorded yet: Choose one of the list.');
    expect(fieldsIn(answer.html, path())['notes']).toBe('Rings back at six.');
    expect(await callsMade()).toEqual([]);
    for (const _ of [1, 2, 3]) {
      expect((await desk.send(answer, path(), { outcome: 'reached' })).status).toBe(303);
    }
    expect(await callsMade()).toHaveLength(1);
  });

  it('is closed to other organisations and to keys that only read', async () => {
    const fields = { ...fieldsIn((await desk.open('/today')).html, path()), outcome: 'reached' };
    const stranger = await openDesk(shop, await shop.keyFor('Another Club'));
    expect((await stranger.post(path(), fields)).status).toBe(404);
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    expect((await reader.post(path(), fields)).status).toBe(403);
    for (const url of ['/today', `/cars/${ids.carId}`]) {
      const page = (await reader.open(url)).html;
      expect(page.match(/<form method="post"/g)).toHaveLength(1);
      expect(page).toContain('action="/sign-out"');
    }
    expect(await callsMade()).toEqual([]);
  });
});

describe('the position of a top', () => {
  const path = () => `/cars/${ids.carId}/position`;
  const car = (query = '') => desk.open(`/cars/${ids.carId}${query}`);
  const log = async () => (await shop.get(`/v1/cars/${ids.carId}/position-log`)).body.items;

  it('is logged by one press, with what was seen', async () => {
    const raised = await desk.send(await car(), path());
    expect(raised.headers.location).toBe(`/cars/${ids.carId}?done=raised`);
    shop.setNow('2026-06-12T09:10:00.000Z');
    const folded = await desk.send(await car(), path(), { damp: 'yes', coverOn: 'yes' });
    expect(folded.status).toBe(303);
    expect(await log()).toMatchObject([
      { position: 'raised', at: '2026-06-12T09:00:00.000Z', damp: false, coverOn: null },
      { position: 'folded', at: '2026-06-12T09:10:00.000Z', damp: true, coverOn: true },
    ]);
    const page = await car('?done=folded');
    expect(wordsOf(page.html)).toContain('Noted: folded.');
    expect(wordsOf(page.html)).toContain('Folded today 10:10, damp, cover on');
  });

  it('takes another time on the clock of the car, and refuses one to come beside its field', async () => {
    const hard = { position: 'folded-under-hard-top', at: '2026-06-11T20:30' };
    expect((await desk.send(await car(), path(), hard)).status).toBe(303);
    // British Summer Time is an hour ahead of UTC.
    expect((await log())[0].at).toBe('2026-06-11T19:30:00.000Z');
    for (const [at, words, kept] of [
      ['2026-06-13T08:00', 'still to come', '13 Jun 2026 08:00'],
      ['2026-02-30T08:00', 'Write a day and a time that exist', '2026-02-30T08:00'],
      ['some day', 'as “yesterday 18:30” or “25 Oct 2026 18:30”', 'some day'],
    ] as const) {
      const answer = await desk.send(await car(), path(), { position: 'folded', at, damp: 'yes' });
      expect(answer.status).toBe(400);
      expect(wordsOf(/id="at-fault">(.*?)<\/p>/s.exec(answer.html)?.[1] ?? '')).toContain(words);
      expect(answer.html).toContain(`value="${kept}"`);
      expect(answer.html).toMatch(/value="folded" checked/);
      expect(answer.html).toMatch(/id="damp" value="yes" checked/);
    }
    expect(await log()).toHaveLength(1);
  });

  it('is logged once, and a wrong entry is taken back', async () => {
    const page = await car();
    for (const _ of [1, 2]) expect((await desk.send(page, path())).status).toBe(303);
    const [entry, ...more] = await log();
    expect(more).toEqual([]);
    const back = `/cars/${ids.carId}/entries/${entry.id}/withdraw`;
    const answer = await desk.send(await car(), back);
    expect(answer.headers.location).toBe(`/cars/${ids.carId}?done=withdrawn`);
    expect((await log())[0].withdrawnAt).toBe('2026-06-12T09:00:00.000Z');
    expect((await car()).html).not.toContain(back);
    const none = await desk.post(`/cars/${ids.carId}/entries/nothing/withdraw`, {
      once: 'a-fresh-name',
    });
    expect(none.status).toBe(404);
  });

  it('is put right in one deed: the wrong entry stays and counts for nothing', async () => {
    await desk.send(await car(), path(), { position: 'folded', at: '2026-06-10T08:00' });
    const [wrong] = await log();
    const correct = `/cars/${ids.carId}/entries/${wrong.id}/correct`;
    const page = await car();
    const ahead = { position: 'raised', at: '2026-06-20T08:00' };
    expect((await desk.send(page, correct, ahead)).status).toBe(400);
    expect(await log()).toHaveLength(1);
    expect((await log())[0].withdrawnAt).toBeNull();
    const right = await desk.send(page, correct, { position: 'raised' });
    expect(right.headers.location).toBe(`/cars/${ids.carId}?done=corrected`);
    const entries = await log();
    expect(
      entries.map(({ position, at, withdrawnAt }: Record<string, unknown>) => [
        position,
        at,
        withdrawnAt !== null,
      ]),
    ).toEqual([
      ['folded', wrong.at, true],
      ['raised', wrong.at, false],
    ]);
    // A page that was open meanwhile adds nothing.
    await desk.post(correct, { once: 'another-press', position: 'folded' });
    expect(await log()).toHaveLength(2);
  });

  it('is closed to other organisations and to keys that only read', async () => {
    const fields = fieldsIn((await car()).html, path());
    const stranger = await openDesk(shop, await shop.keyFor('Another Club'));
    expect((await stranger.post(path(), fields)).status).toBe(404);
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    expect((await reader.post(path(), fields)).status).toBe(403);
    expect((await desk.post('/cars/%00/position', fields)).status).toBe(404);
    expect(await log()).toEqual([]);
  });
});
