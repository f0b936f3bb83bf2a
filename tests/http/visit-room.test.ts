import { afterEach, beforeEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Answer, CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

// Friday of ISO week 24 of 2026 (ISO 8601, any calendar); its Tuesdays are 16, 23 and 30 June.
const NOW = '2026-06-12T08:00:00.000Z';

/** How many answers there were of each status. */
function counted(answers: readonly Answer[]): Record<number, number> {
  const counts: Record<number, number> = {};
  for (const { status } of answers) counts[status] = (counts[status] ?? 0) + 1;
  return counts;
}

eachDatabase('a day that the shop names for a visit', ({ open }) => {
  let shop: Workshop;
  let tops: CarAndTop[];
  beforeEach(async () => {
    shop = await open(NOW);
    // Open on Tuesdays with room for one oiling of 105 min (shop rule), and on today's Friday.
    const settings = {
      weekdays: [2, 5],
      shopRules: { minutesPerDay: 120, slackSummerPct: 0, slackElsePct: 0 },
    };
    const set = await patch('/v1/diary/settings', settings);
    if (set.status !== 200) throw new Error(JSON.stringify(set.body));
    tops = [];
    for (let i = 0; i < 6; i += 1) {
      tops.push(await fitted(shop, { car: { registration: `FK ${i}` } }));
    }
  });
  afterEach(() => shop.close());

  const patch = (path: string, body: object, tag = '*') =>
    shop.call('PATCH', path, body, { 'if-match': tag });
  const visit = (at: number, body: object) =>
    shop.post(`/v1/tops/${tops[at]?.topId}/visits`, { kind: 'lubrication', ...body });
  const plan = (at: number, plannedOn: string, more: object = {}) =>
    visit(at, { plannedOn, ...more });

  it('is refused by field where it is full, with the next day that has room', async () => {
    expect((await plan(0, '2026-06-16')).status).toBe(201);
    const refused = await plan(1, '2026-06-16');
    expect(refused.status).toBe(409);
    expect(refused.body.errors).toHaveLength(1);
    expect(refused.body.errors[0].pointer).toBe('#/plannedOn');
    expect(refused.body.errors[0].detail).toMatch(/next day with room is 2026-06-19 \(2026-W25\)/);
    expect((await shop.get(`/v1/tops/${tops[1]?.topId}/visits`)).body.items).toEqual([]);
    const moved = await plan(1, '2026-06-19');
    expect(moved.status).toBe(201);
    const again = await plan(2, '2026-06-19');
    expect(again.body.detail).toMatch(/next day with room is 2026-06-23 \(2026-W26\)/);
    const back = await patch(`/v1/visits/${moved.body.id}`, { plannedOn: '2026-06-16' });
    expect(back.status).toBe(409);
    expect(back.body.errors[0].pointer).toBe('#/plannedOn');
    expect((await shop.get(`/v1/visits/${moved.body.id}`)).body).toEqual(moved.body);
    // What is moved within its own day does not stand in its own way.
    expect((await patch(`/v1/visits/${moved.body.id}`, { plannedOn: '2026-06-19' })).status).toBe(
      200,
    );
  });

  it('is never sent to a day before the one that was asked for', async () => {
    expect((await plan(0, '2026-06-19')).status).toBe(201);
    // Tuesday of that week is free, and is no answer to "this Friday or later".
    const refused = await plan(1, '2026-06-19');
    expect(refused.body.errors[0].detail).toMatch(/next day with room is 2026-06-23 /);
  });

  it('never holds back what took place, nor what lies behind', async () => {
    expect((await plan(0, '2026-06-12')).status).toBe(201);
    expect((await plan(1, '2026-06-12')).status).toBe(409);
    const walkIn = await visit(1, { kind: 'look', doneOn: '2026-06-12' });
    expect(walkIn.status).toBe(201);
    expect((await visit(2, { doneOn: '2026-06-11' })).status).toBe(201);
    expect((await visit(3, { doneOn: '2026-06-12', plannedOn: '2026-06-12' })).status).toBe(201);
    const later = await plan(4, '2026-06-16');
    const came = await patch(`/v1/visits/${later.body.id}`, { doneOn: '2026-06-12' });
    expect(came).toMatchObject({ status: 200, body: { state: 'done', doneOn: '2026-06-12' } });
    for (const at of [4, 5]) expect((await plan(at, '2026-06-02')).status).toBe(201);
  });

  it('goes to one of two who want its last place at once', async () => {
    const booked = await Promise.all(tops.map((_, at) => plan(at, '2026-06-16')));
    expect(counted(booked)).toEqual({ 201: 1, 409: 5 });
    const days = ['2026-06-19', '2026-06-23', '2026-06-26'];
    const others = await Promise.all(days.map((day, at) => plan(at, day)));
    expect(others.map(({ status }) => status)).toEqual([201, 201, 201]);
    const moves = await Promise.all([
      ...others.map(({ body }) => patch(`/v1/visits/${body.id}`, { plannedOn: '2026-06-30' })),
      shop.post(`/v1/tops/${tops[3]?.topId}/booking`, { on: '2026-06-30', kind: 'repair' }),
      plan(4, '2026-06-30'),
    ]);
    const { 409: refused, ...went } = counted(moves);
    expect(refused).toBe(4);
    expect(Object.values(went)).toEqual([1]);
  });

  it('must have room too for a visit that is booked again or takes longer', async () => {
    const first = await plan(0, '2026-06-16');
    const path = `/v1/visits/${first.body.id}`;
    expect((await patch(path, { state: 'cancelled' })).status).toBe(200);
    const second = await plan(1, '2026-06-16', { minutes: 60, notes: 'brings both keys' });
    const again = await patch(path, { state: 'booked' });
    expect(again.status).toBe(409);
    const other = `/v1/visits/${second.body.id}`;
    expect((await patch(other, { minutes: 90 })).body.minutes).toBe(90);
    const third = await plan(2, '2026-06-16', { minutes: 30 });
    expect(third.status).toBe(201);
    expect((await patch(other, { minutes: 120 })).status).toBe(409);
    expect((await patch(other, { minutes: 45 })).body).toMatchObject({
      minutes: 45,
      notes: 'brings both keys',
      state: 'booked',
    });
    const done = await patch(other, { doneOn: '2026-06-12', minutes: 50 });
    expect(done.body).toMatchObject({ minutes: 50, notes: 'brings both keys', state: 'done' });
  });

  it('may be a weekday that is usually shut, but not one of a closure or beyond the diary', async () => {
    const { headers } = await shop.get('/v1/diary/settings');
    const closures = [{ from: '2026-06-23', words: 'works fair' }];
    await patch('/v1/diary/settings', { closures }, String(headers['etag']));
    expect((await plan(0, '2026-06-20')).status).toBe(201);
    expect((await plan(1, '2026-06-20')).status).toBe(409);
    const closed = await plan(2, '2026-06-23');
    expect(closed.status).toBe(400);
    expect(closed.body.errors[0]).toMatchObject({ pointer: '#/plannedOn' });
    expect(closed.body.errors[0].detail).toMatch(/works fair/);
    const far = await plan(2, '9999-12-31');
    expect(far.status).toBe(400);
    expect(far.body.errors[0].pointer).toBe('#/plannedOn');
  });

  it('ends the offer that led to it, and readings wait for the visit', async () => {
    const { topId, carId } = await fitted(shop, { top: { fittedOn: '2025-06-20' } });
    const made = await shop.post('/v1/diary/plan', { apply: true });
    expect(made.body.offers.made).toBe(1);
    const offered = async () =>
      (await shop.get(`/v1/letters?carId=${carId}`)).body.items
        .filter(({ kind }: { kind: string }) => kind === 'visit-offered')
        .map(({ state }: { state: string }) => state);
    expect(await offered()).toEqual(['planned']);
    const booking = { kind: 'lubrication', plannedOn: '2026-06-16' };
    const booked = await shop.post(`/v1/tops/${topId}/visits`, booking);
    expect(booked.status).toBe(201);
    expect(await offered()).toEqual(['cancelled']);
    expect((await shop.get(`/v1/tops/${topId}/offer`)).body.offeredAt).toBeNull();
    const readings = [{ pivot: 'L-MAIN', state: 'free', oiled: true }];
    const early = await patch(`/v1/visits/${booked.body.id}`, { readings });
    expect(early.status).toBe(400);
    expect(early.body.errors[0].pointer).toBe('#/doneOn');
  });

  it('is changed by one of two who read the same version', async () => {
    const { body } = await plan(0, '2026-06-16');
    const readings = [{ pivot: 'L-MAIN', state: 'free', oiled: true }];
    const done = { doneOn: '2026-06-12', readings };
    const path = `/v1/visits/${body.id}`;
    const both = await Promise.all([patch(path, done, '"v1"'), patch(path, done, '"v1"')]);
    expect(counted(both)).toEqual({ 200: 1, 412: 1 });
    expect((await shop.get(path)).body.readings).toHaveLength(1);
  });
});
