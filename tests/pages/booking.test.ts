import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { fieldsIn, openDesk, wordsOf } from './desk.ts';

let shop: Workshop;
let desk: Desk;
let ids: CarAndTop;
let path: string;
beforeEach(async () => {
  // A Friday.
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
  ids = await fitted(shop, { top: { fittedOn: '2025-06-24' } });
  path = `/tops/${ids.topId}/booking`;
});
afterEach(() => shop.close());

const visits = async () => (await shop.get(`/v1/tops/${ids.topId}/visits`)).body.items;
const weeksOn = (html: string) =>
  [...html.matchAll(/name="week" value="([^"]+)"/g)].map(([, week]) => week);

describe('booking a visit', () => {
  it('offers the weeks that have room, those that suit the oil marked, and books the one pressed', async () => {
    await shop.call(
      'PUT',
      '/v1/diary/settings',
      {
        weekdays: [1, 2, 3, 4, 5],
        closures: [{ from: '2026-06-15', to: '2026-06-19', words: 'Holiday' }],
      },
      { 'if-match': '*' },
    );
    const page = await desk.open(path);
    const weeks = weeksOn(page.html);
    expect(weeks).not.toContain('2026-W25');
    expect(weeks).toContain('2026-W26');
    const offer = (await shop.get(`/v1/tops/${ids.topId}/offer`)).body;
    const best = [...page.html.matchAll(/value="([^"]+)" class="button"/g)].map(([, week]) => week);
    expect(best).toEqual(offer.weeks.map(({ id }: { id: string }) => id));
    const answer = await desk.send(page, path, { week: '2026-W26' });
    expect([answer.status, answer.headers.location]).toEqual([
      303,
      `/tops/${ids.topId}?done=booked`,
    ]);
    const [visit] = await visits();
    expect(visit).toMatchObject({ state: 'booked', kind: 'lubrication' });
    expect(visit.plannedOn >= '2026-06-22' && visit.plannedOn <= '2026-06-26').toBe(true);
    // Now the page leads to the booking instead of making a second one.
    const again = await desk.open(path);
    expect(weeksOn(again.html)).toEqual([]);
    expect(again.html).toContain(`/visits/${visit.id}`);
    expect((await desk.open(`/tops/${ids.topId}`)).html).toContain(`/visits/${visit.id}`);
  });

  it('says beside the field what is wrong with a day, and keeps it', async () => {
    const page = await desk.open(`${path}?kind=repair`);
    for (const [on, words, kept] of [
      ['1/6/2026', 'This is over', '1 Jun 2026'],
      ['2026-06-14', 'The shop is closed', '14 Jun 2026'],
      ['30 Feb 2026', 'Write a day that exists, with its year, as 25 Oct 2026', '30 Feb 2026'],
      ['6/15/2026', 'Write a day that exists', '6/15/2026'],
      ['', 'Choose a week or a day.', ''],
    ] as const) {
      const answer = await desk.send(page, path, { on });
      expect([on, answer.status]).toEqual([on, 400]);
      expect(wordsOf(answer.html)).toContain(words);
      expect(wordsOf(answer.html)).not.toContain('/v1/');
      expect(answer.html).toContain(`name="on" type="text" inputmode="text" value="${kept}"`);
      expect(fieldsIn(answer.html, path)['kind']).toBe('repair');
    }
    expect(await visits()).toEqual([]);
    for (const _ of [1, 2]) {
      expect((await desk.send(page, path, { on: '2026-06-16' })).status).toBe(303);
    }
    const [visit, ...more] = await visits();
    expect(visit).toMatchObject({ kind: 'repair', plannedOn: '2026-06-16' });
    expect(more).toEqual([]);
    const second = await desk.send(await desk.open(path), path, {
      kind: 'repair',
      on: '2026-06-17',
    });
    expect(second.status).toBe(409);
    expect(wordsOf(second.html)).not.toContain('PUT');
  });

  it('is closed to other organisations and to keys that only read', async () => {
    const fields = { ...fieldsIn((await desk.open(path)).html, path), week: '2026-W26' };
    const stranger = await openDesk(shop, await shop.keyFor('Another Club'));
    expect((await stranger.open(path)).status).toBe(404);
    expect((await stranger.post(path, fields)).status).toBe(404);
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    expect((await reader.open(path)).status).toBe(403);
    expect((await reader.post(path, fields)).status).toBe(403);
    expect(await visits()).toEqual([]);
  });
});

describe('a booked visit', () => {
  let visitId: string;
  let own: string;
  beforeEach(async () => {
    const booked = await shop.post(`/v1/tops/${ids.topId}/booking`, { on: '2026-06-16' });
    visitId = booked.body.id;
    own = `/visits/${visitId}`;
  });
  const visit = async () => (await shop.get(`/v1/visits/${visitId}`)).body;

  it('is completed with readings, on the day it was booked for', async () => {
    shop.setNow('2026-06-16T13:00:00.000Z');
    desk = await openDesk(shop);
    const page = await desk.open(`${own}/done`);
    const fields = fieldsIn(page.html, `${own}/done`);
    expect(fields).toMatchObject({ doneOn: '16 Jun 2026', version: '1', others: 'oiled' });
    expect(fields).not.toHaveProperty('kind');
    const wrong = await desk.send(page, `${own}/done`, { swayMm: '9999', notes: 'Latch stiff.' });
    expect(wrong.status).toBe(400);
    expect(fieldsIn(wrong.html, `${own}/done`)['notes']).toBe('Latch stiff.');
    for (const _ of [1, 2]) {
      const answer = await desk.send(wrong, `${own}/done`, { swayMm: '4' });
      expect(answer.headers.location).toBe(`${own}/record?done=visit`);
    }
    expect(await visit()).toMatchObject({ state: 'done', swayMm: 4, version: 2 });
    expect((await visit()).readings).toHaveLength(18);
    expect(await visits()).toHaveLength(1);
    const late = await desk.send(page, `${own}/done`, { once: 'another-name' });
    expect(late.status).toBe(409);
  });

  it('cannot have been missed before its day', async () => {
    const early = await desk.open(own);
    expect(early.html).not.toContain('value="missed"');
    const refused = await desk.send(early, `${own}/outcome`, { state: 'missed', sure: 'yes' });
    expect(refused.status).toBe(400);
    expect(wordsOf(refused.html)).toContain('that nobody came can be said from that day on');
    expect(await visit()).toMatchObject({ state: 'booked', version: 1 });
  });

  it.each(['missed', 'cancelled'])('can be noted as %s', async (state) => {
    shop.setNow('2026-06-16T06:00:00.000Z');
    desk = await openDesk(shop);
    const asked = await desk.send(await desk.open(own), `${own}/outcome`, { state });
    expect(wordsOf(asked.html)).toContain(
      state === 'missed' ? 'Did nobody come?' : 'Call this visit off?',
    );
    expect(wordsOf(asked.html)).toContain('Not sent any more: word of a booked visit');
    expect(await visit()).toMatchObject({ state: 'booked' });
    const answer = await desk.send(asked, `${own}/outcome`);
    expect(answer.headers.location).toBe(`/tops/${ids.topId}?done=${state}`);
    expect(await visit()).toMatchObject({ state, plannedOn: '2026-06-16' });
    const over = await desk.open(own);
    expect(wordsOf(over.html)).toContain(`This lubrication visit is ${state}`);
    expect(over.html).not.toContain('value="missed"');
    const again = await desk.send(over, `${own}/outcome`, { state: 'booked', sure: 'yes' });
    expect(again.status).toBe(303);
    expect(await visit()).toMatchObject({ state: 'booked', plannedOn: '2026-06-16' });
  });

  it('moves to a week or a day with room', async () => {
    const page = await desk.open(own);
    expect(weeksOn(page.html)).toContain('2026-W27');
    const answer = await desk.send(page, `${own}/move`, { week: '2026-W27', sure: 'yes' });
    expect(answer.headers.location).toBe(`/tops/${ids.topId}?done=moved`);
    expect((await visit()).plannedOn > '2026-06-28').toBe(true);
    const shut = await desk.send(await desk.open(own), `${own}/move`, { on: '2026-07-05' });
    expect(shut.status).toBe(400);
    expect(wordsOf(shut.html)).toContain('The shop is closed');
    expect(shut.html).toContain('value="5 Jul 2026"');
  });

  it('is not overwritten by somebody who saw it before it was changed', async () => {
    const page = await desk.open(own);
    const form = await desk.open(`${own}/done`);
    const moved = { on: '2026-06-18' };
    const booking = `/v1/visits/${visitId}/booking`;
    expect((await shop.call('PUT', booking, moved, { 'if-match': '*' })).status).toBe(200);
    const late = await desk.send(page, `${own}/outcome`, { state: 'cancelled' });
    expect(late.status).toBe(409);
    expect(wordsOf(late.html)).toContain('Somebody else changed this');
    expect(wordsOf(late.html)).toContain('18 June 2026');
    expect(await visit()).toMatchObject({ state: 'booked', version: 2 });
    const typed = await desk.send(form, `${own}/done`, { notes: 'Typed at length.' });
    expect(typed.status).toBe(409);
    expect(fieldsIn(typed.html, `${own}/done`)).toMatchObject({
      notes: 'Typed at length.',
      version: '2',
    });
    expect(
      (await desk.send(late, `${own}/outcome`, { state: 'cancelled', sure: 'yes' })).status,
    ).toBe(303);
    expect(await visit()).toMatchObject({ state: 'cancelled', version: 3 });
  });

  it('is closed to other organisations and to keys that only read', async () => {
    const fields = { ...fieldsIn((await desk.open(own)).html, `${own}/outcome`), state: 'missed' };
    const stranger = await openDesk(shop, await shop.keyFor('Another Club'));
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    for (const url of [own, `${own}/done`]) {
      expect([url, (await stranger.open(url)).status]).toEqual([url, 404]);
      expect([url, (await reader.open(url)).status]).toEqual([url, 403]);
    }
    for (const url of [`${own}/outcome`, `${own}/move`, `${own}/done`]) {
      expect([url, (await stranger.post(url, fields)).status]).toEqual([url, 404]);
      expect([url, (await reader.post(url, fields)).status]).toEqual([url, 403]);
    }
    expect(await visit()).toMatchObject({ state: 'booked', version: 1 });
  });
});
