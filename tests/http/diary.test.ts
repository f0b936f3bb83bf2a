import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

// Monday of ISO week 24 of 2026 (ISO 8601, any calendar).
const NOW = '2026-06-08T08:00:00.000Z';
const WEEK = '2026-W25';

/** A shop open one day a week with room for one visit of 105 min (shop rule) and no more. */
async function openTuesdays(shop: Workshop, minutesPerDay = 120): Promise<void> {
  const before = await shop.get('/v1/diary/settings');
  const changed = await shop.call(
    'PATCH',
    '/v1/diary/settings',
    {
      weekdays: [2],
      shopRules: { minutesPerDay, slackSummerPct: 0, slackElsePct: 0, leadDays: 0 },
    },
    { 'if-match': String(before.headers['etag']) },
  );
  if (changed.status !== 200) throw new Error(JSON.stringify(changed.body));
}

/** Tops fitted so long ago that the yearly oiling falls due on the day named. */
async function dueOn(shop: Workshop, day: string, count = 1): Promise<CarAndTop[]> {
  const fittedOn = `${Number(day.slice(0, 4)) - 1}${day.slice(4)}`;
  const tops: CarAndTop[] = [];
  for (let i = 0; i < count; i += 1) {
    tops.push(await fitted(shop, { car: { registration: `FK ${day} ${i}` }, top: { fittedOn } }));
  }
  return tops;
}

const weekOf = (body: { weeks: { id: string }[] }, id: string) =>
  body.weeks.find((week) => week.id === id);

describe('the diary', () => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await openWorkshop(NOW);
  });
  afterEach(() => shop.close());

  it('shows weeks in half hours, less the slack of the month', async () => {
    const diary = await shop.get('/v1/diary?from=2026-06-08&weeks=2');
    expect(diary.status).toBe(200);
    // Five days of 480 min, 15 % kept free in June: 2040 min are 68 half hours.
    expect(diary.body.weeks).toMatchObject([
      { id: '2026-W24', monday: '2026-06-08', capacityPlaces: 68, bookedPlaces: 0, visits: [] },
      { id: '2026-W25', monday: '2026-06-15', capacityPlaces: 68 },
    ]);
    expect(diary.body.because.every((line: string) => line.startsWith('shop rule'))).toBe(true);
  });

  it('leaves out the days of this week that are over', async () => {
    shop.setNow('2026-06-11T08:00:00.000Z');
    const diary = await shop.get('/v1/diary?weeks=1');
    expect(diary.body.weeks[0]).toMatchObject({
      id: '2026-W24',
      openDays: ['2026-06-11', '2026-06-12'],
      capacityPlaces: 27,
    });
  });

  it('keeps closures, with their words, and opening days', async () => {
    const settings = await shop.get('/v1/diary/settings');
    expect(settings.body).toMatchObject({ weekdays: [1, 2, 3, 4, 5], closures: [] });
    expect(settings.body.shopRules[0]).toMatchObject({
      name: 'minutesPerDay',
      value: 480,
      mark: 'shop rule',
    });
    const put = await shop.call(
      'PUT',
      '/v1/diary/settings',
      {
        weekdays: [6, 1, 1],
        closures: [{ from: '2026-06-15', to: '2026-06-20', words: 'summer fair' }],
      },
      { 'if-match': String(settings.headers['etag']) },
    );
    expect(put.status).toBe(200);
    expect(put.body.weekdays).toEqual([1, 6]);
    const diary = await shop.get('/v1/diary?weeks=2');
    expect(weekOf(diary.body, WEEK)).toMatchObject({
      openDays: [],
      capacityPlaces: 0,
      closures: [{ from: '2026-06-15', to: '2026-06-20', words: 'summer fair' }],
    });
  });

  it('names the weeks in which more falls due than there is room for', async () => {
    await openTuesdays(shop);
    // The window is four weeks before to three after the due day: all four tops share weeks 24 to 26.
    await dueOn(shop, '2026-06-02', 4);
    const diary = await shop.get('/v1/diary?weeks=8');
    expect(diary.body.jams).toEqual([
      {
        from: '2026-W24',
        to: '2026-W26',
        need: 4,
        room: 3,
        unit: 'visits',
        words: 'weeks 24–26 of 2026: 4 visits must fit, room for 3',
      },
    ]);
    expect(diary.body.says).toEqual([diary.body.jams[0].words]);
  });

  it('wants to know which settings are changed', async () => {
    expect((await shop.call('PATCH', '/v1/diary/settings', { weekdays: [1] })).status).toBe(428);
    await openTuesdays(shop);
    const stale = await shop.call(
      'PATCH',
      '/v1/diary/settings',
      { weekdays: [1] },
      { 'if-match': '"v1"' },
    );
    expect(stale.status).toBe(412);
  });
});

describe('the plan of the diary', () => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await openWorkshop(NOW);
  });
  afterEach(() => shop.close());
  const plan = (body: object = {}) => shop.post('/v1/diary/plan', body);

  it('writes nothing unless applied, then stores three weeks for each owner', async () => {
    const [one] = await dueOn(shop, '2026-06-20');
    const dry = await plan({ weeks: 6 });
    expect(dry.status).toBe(200);
    expect(dry.body).toMatchObject({ applied: false, offers: { made: 1, ended: 0, kept: 0 } });
    expect(dry.body.placed).toHaveLength(1);
    expect((await plan({ weeks: 6 })).body.offers.made).toBe(1);
    const applied = await plan({ weeks: 6, apply: true });
    expect(applied.body).toMatchObject({ applied: true, offers: { made: 1 } });
    const [placed] = applied.body.placed;
    expect(placed).toMatchObject({ topId: one?.topId, dueOn: '2026-06-20', places: 4 });
    expect(placed.because).toMatch(/shop rule/);
    expect(placed.offered).toHaveLength(3);
    expect(placed.offered).toContain(placed.week);
    // Due window: 23 May to 11 July, so weeks 24 to 28 are left of it.
    expect(placed.offered.every((week: string) => week >= '2026-W24' && week <= '2026-W28')).toBe(
      true,
    );
    const diary = await shop.get('/v1/diary?weeks=6');
    expect(weekOf(diary.body, placed.week)).toMatchObject({ offeredPlaces: 4 });
    const offer = await shop.get(`/v1/tops/${one?.topId}/offer`);
    expect(offer.body.weeks.map(({ id }: { id: string }) => id)).toEqual(placed.offered);
    expect(offer.body.offeredAt).toBe(NOW);
    const again = await plan({ weeks: 6, apply: true });
    expect(again.body.offers).toEqual({ made: 0, ended: 0, kept: 1 });
  });

  it('is read page by page, with the count of each list on every page', async () => {
    await openTuesdays(shop);
    for (let car = 0; car < 6; car += 1) await dueOn(shop, '2026-06-20');
    const whole = (await plan({ weeks: 6 })).body;
    expect(whole.next).toBeNull();
    const { placed, outside, unplaced } = whole;
    const counts = {
      placed: placed.length,
      outside: outside.length,
      unplaced: unplaced.length,
    };
    expect(whole.counts).toEqual(counts);
    expect([placed, outside, unplaced].filter((list) => list.length > 0).length).toBeGreaterThan(1);
    const lists: Record<string, unknown[]> = { placed: [], outside: [], unplaced: [] };
    let after = '';
    for (let read = 0; read < 10; read += 1) {
      const page = await shop.post(`/v1/diary/plan?limit=2${after}`, { weeks: 6 });
      expect(page.body).toMatchObject({ counts, gap: whole.gap, weeks: whole.weeks });
      for (const list of Object.keys(lists)) lists[list]?.push(...page.body[list]);
      expect(Object.values(lists).flat().length).toBeLessThanOrEqual(2 * (read + 1));
      if (page.body.next === null) break;
      after = `&after=${page.body.next}`;
    }
    expect(lists).toEqual({ placed, outside, unplaced });
  });

  it('makes its offers with the first page, all of them', async () => {
    for (let car = 0; car < 3; car += 1) await dueOn(shop, '2026-06-20');
    const first = await shop.post('/v1/diary/plan?limit=1', { weeks: 6 });
    const beyond = `/v1/diary/plan?limit=1&after=${first.body.next}`;
    const refused = await shop.post(beyond, { weeks: 6, apply: true });
    expect(refused.status).toBe(400);
    expect(JSON.stringify(refused.body)).toContain('made with the first page');
    expect((await shop.post(beyond, { weeks: 6 })).body.offers).toMatchObject({ made: 3, kept: 0 });
    const made = await shop.post('/v1/diary/plan?limit=1', { weeks: 6, apply: true });
    expect(made.body).toMatchObject({ counts: { placed: 3 }, offers: { made: 3 } });
    expect((await shop.post(beyond, { weeks: 6 })).body.offers).toMatchObject({ made: 0, kept: 3 });
  });

  it('says so where the visit is gone that the page before ended with', async () => {
    const [one] = await dueOn(shop, '2026-06-20');
    await dueOn(shop, '2026-06-21');
    const first = await shop.post('/v1/diary/plan?limit=1', { weeks: 6 });
    expect(first.body.placed).toMatchObject([{ topId: one?.topId }]);
    await shop.post(`/v1/tops/${one?.topId}/visits`, { kind: 'lubrication', doneOn: '2026-06-01' });
    const next = `/v1/diary/plan?limit=1&after=${first.body.next}`;
    const gone = await shop.post(next, { weeks: 6 });
    expect(gone.status).toBe(409);
    expect(gone.body.detail).toMatch(/changed since the page before/);
  });

  it('keeps offers already made and bookings where they are, and says what does not fit', async () => {
    await openTuesdays(shop);
    const tops = await dueOn(shop, '2026-06-02', 4);
    const first = await plan({ weeks: 4, apply: true });
    // Window to 23 June: weeks 24, 25 and 26 hold one visit each, the fourth comes a week late.
    expect(first.body.placed.map(({ week }: { week: string }) => week).sort()).toEqual([
      '2026-W24',
      '2026-W25',
      '2026-W26',
    ]);
    expect(first.body.outside).toMatchObject([{ week: '2026-W27', latenessWeeks: 1 }]);
    expect(first.body.gap).toMatchObject({ bound: 3, placed: 3 });
    expect(first.body.says[0]).toBe('weeks 24–26 of 2026: 4 visits must fit, room for 3');
    const late = first.body.outside[0].topId;
    const early = tops.find(({ topId }) => topId !== late);
    const booking = await shop.post(`/v1/tops/${early?.topId}/booking`, { week: '2026-W27' });
    expect(booking.status).toBe(201);
    const second = await plan({ weeks: 4, apply: true });
    expect(second.body.outside).toContainEqual(
      expect.objectContaining({ visitId: booking.body.id, week: '2026-W27', standing: 'booked' }),
    );
    expect(second.body.placed).toHaveLength(3);
    expect(second.body.offers.kept).toBe(2);
  });

  it('plans over what is left when three short weeks cannot hold all', async () => {
    await openTuesdays(shop);
    await dueOn(shop, '2026-06-02', 6);
    const body = (await plan({ weeks: 3 })).body;
    expect(body.placed).toHaveLength(3);
    expect(body.unplaced.map(({ reason }: { reason: string }) => reason)).toEqual([
      'no-room',
      'no-room',
      'no-room',
    ]);
    expect(body.says.at(-1)).toBe('no room in these weeks: 3 visits');
  });

  it('learns the minutes of a visit from visits done, weighed against the shop rule', async () => {
    const [one] = await dueOn(shop, '2026-06-20');
    const other = await fitted(shop, { top: { fittedOn: '2024-01-10' } });
    for (const doneOn of ['2025-01-10', '2025-06-10', '2025-09-10', '2026-01-10', '2026-05-10']) {
      const visit = { kind: 'lubrication', doneOn, minutes: 165 };
      expect((await shop.post(`/v1/tops/${other.topId}/visits`, visit)).status).toBe(201);
    }
    // Neither another kind of visit nor another frame tells how long this one takes.
    const unlike = await fitted(shop, {
      car: { registration: 'FK 2' },
      top: { fittedOn: '2024-01-10', framePattern: 'two-seat-manual' },
    });
    for (const [topId, kind] of [
      [other.topId, 'repair'],
      [unlike.topId, 'lubrication'],
    ]) {
      const visit = { kind, doneOn: '2026-05-11', minutes: 300 };
      expect((await shop.post(`/v1/tops/${topId}/visits`, visit)).status).toBe(201);
    }
    const { placed } = (await plan({ weeks: 6 })).body;
    // Five visits of 165 min against 105 min worth five visits: (5 × 105 + 5 × 165) / 10 = 135.
    expect(placed).toContainEqual(
      expect.objectContaining({ topId: one?.topId, minutes: 135, places: 5 }),
    );
  });

  it('leaves to the call list whoever let a whole further interval go by', async () => {
    await fitted(shop, { top: { fittedOn: '2023-03-10' } });
    const body = (await plan()).body;
    expect(body).toMatchObject({ placed: [], outside: [], unplaced: [], leftToCalls: 1 });
  });

  it('says so where the shop is never open', async () => {
    const { headers } = await shop.get('/v1/diary/settings');
    const etag = { 'if-match': String(headers['etag']) };
    await shop.call('PATCH', '/v1/diary/settings', { weekdays: [] }, etag);
    const refused = await plan();
    expect(refused.status).toBe(409);
    expect(refused.body.detail).toMatch(/No open day/);
    const diary = await shop.get('/v1/diary');
    expect(diary.status).toBe(200);
    expect(diary.body.says.join()).toMatch(/no open day/);
  });
});

eachDatabase('a booking', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open(NOW);
  });
  afterEach(() => shop.close());
  const book = (topId: string | undefined, body: object) =>
    shop.post(`/v1/tops/${topId}/booking`, body);

  it('takes the open day with the most room and cancels the reminder', async () => {
    const [one, two] = await dueOn(shop, '2026-05-20', 2);
    await shop.post('/v1/round', { at: NOW });
    const first = await book(one?.topId, { week: WEEK });
    expect(first.status).toBe(201);
    expect(first.body).toMatchObject({
      kind: 'lubrication',
      state: 'booked',
      plannedOn: '2026-06-15',
      topId: one?.topId,
    });
    expect(first.headers['location']).toBe(`/v1/visits/${first.body.id}`);
    expect((await shop.get(`/v1/visits/${first.body.id}`)).body).toEqual(first.body);
    expect((await book(two?.topId, { week: WEEK })).body.plannedOn).toBe('2026-06-16');
    const letters = await shop.get(`/v1/letters?carId=${one?.carId}&state=planned`);
    const kinds = letters.body.items.map(({ kind }: { kind: string }) => kind);
    expect(kinds.filter((kind: string) => kind.startsWith('lubrication'))).toEqual([]);
    const diary = await shop.get('/v1/diary?weeks=2');
    expect(weekOf(diary.body, WEEK)).toMatchObject({
      bookedPlaces: 8,
      visits: [{ visitId: first.body.id, on: '2026-06-15', minutes: 105 }, {}],
    });
  });

  it('of two at once for the last place, one gets it and one is told', async () => {
    await openTuesdays(shop);
    const tops = await dueOn(shop, '2026-06-20', 6);
    const answers = await Promise.all(tops.map(({ topId }) => book(topId, { week: WEEK })));
    expect(answers.filter(({ status }) => status === 201)).toHaveLength(1);
    expect(answers.filter(({ status }) => status === 409)).toHaveLength(5);
    const told = answers.find(({ status }) => status === 409);
    expect(told?.body.errors[0].pointer).toBe('#/week');
    expect(told?.body.detail).toMatch(/no time of bench left; this visit takes 2 h/);
    const diary = await shop.get('/v1/diary?weeks=2');
    expect(weekOf(diary.body, WEEK)).toMatchObject({ capacityPlaces: 4, bookedPlaces: 4 });
  });

  it('gives the room back when it is moved or called off', async () => {
    await openTuesdays(shop);
    const [one, two, three] = await dueOn(shop, '2026-06-20', 3);
    const first = await book(one?.topId, { week: WEEK });
    expect((await book(two?.topId, { on: '2026-06-16' })).status).toBe(409);
    const move = (body: object, etag: string) =>
      shop.call('PUT', `/v1/visits/${first.body.id}/booking`, body, { 'if-match': etag });
    expect((await shop.call('PUT', `/v1/visits/${first.body.id}/booking`, {})).status).toBe(428);
    const moved = await move({ week: '2026-W26' }, String(first.headers['etag']));
    expect(moved.status).toBe(200);
    expect(moved.body).toMatchObject({ plannedOn: '2026-06-23', version: 2 });
    expect((await move({ week: WEEK }, String(first.headers['etag']))).status).toBe(412);
    const second = await book(two?.topId, { on: '2026-06-16' });
    expect(second.status).toBe(201);
    expect((await move({ week: WEEK }, '"v2"')).status).toBe(409);
    // Moved within its own week, a booking does not stand in its own way.
    expect((await move({ on: '2026-06-23' }, '"v2"')).status).toBe(200);
    await shop.call(
      'PATCH',
      `/v1/visits/${second.body.id}`,
      { state: 'cancelled' },
      { 'if-match': String(second.headers['etag']) },
    );
    expect((await book(three?.topId, { week: WEEK })).status).toBe(201);
    const gone = await shop.call(
      'PUT',
      `/v1/visits/${second.body.id}/booking`,
      { week: '2026-W27' },
      { 'if-match': '*' },
    );
    expect(gone.status).toBe(409);
  });

  it('is made once for a top, and ends the offer that led to it', async () => {
    const [one] = await dueOn(shop, '2026-06-20');
    const { placed } = (await shop.post('/v1/diary/plan', { apply: true })).body;
    const week = placed[0].week;
    expect((await book(one?.topId, { week })).status).toBe(201);
    const twice = await book(one?.topId, { week });
    expect(twice.status).toBe(409);
    expect(twice.body.detail).toMatch(/booked for .* already/);
    expect((await book(one?.topId, { week, kind: 'repair' })).status).toBe(201);
    const letters = await shop.get(`/v1/letters?carId=${one?.carId}`);
    const told = (kind: string) =>
      letters.body.items.filter((letter: { kind: string }) => letter.kind === kind);
    expect(told('visit-offered')).toMatchObject([{ state: 'cancelled' }]);
    expect(told('visit-booked')).toHaveLength(2);
    const plan = await shop.post('/v1/diary/plan', { apply: true });
    expect(plan.body.offers).toEqual({ made: 0, ended: 0, kept: 0 });
    expect(weekOf((await shop.get('/v1/diary')).body, week)).toMatchObject({ offeredPlaces: 0 });
  });

  it('refuses a retired top, and one of another organisation as if it were not there', async () => {
    const [one] = await dueOn(shop, '2026-06-20');
    await shop.post('/v1/tops', {
      carId: one?.carId,
      fittedOn: '2026-06-01',
      framePattern: 'four-seat-manual',
      cover: { material: 'cloth' },
      window: 'glass',
    });
    const retired = await book(one?.topId, { week: WEEK });
    expect(retired.status).toBe(400);
    expect(retired.body.errors[0]).toMatchObject({ pointer: 'id' });
    const [two] = await dueOn(shop, '2026-06-21');
    const mine = await book(two?.topId, { week: WEEK });
    shop.key = await shop.keyFor('Another Club');
    expect((await book(two?.topId, { week: '2026-W26' })).status).toBe(404);
    expect((await shop.get(`/v1/tops/${two?.topId}/offer`)).status).toBe(404);
    const stolen = await shop.call(
      'PUT',
      `/v1/visits/${mine.body.id}/booking`,
      { week: '2026-W26' },
      { 'if-match': '*' },
    );
    expect(stolen.status).toBe(404);
    const diary = await shop.get('/v1/diary?weeks=8');
    expect(diary.body.weeks.flatMap(({ visits }: { visits: object[] }) => visits)).toEqual([]);
    const plan = await shop.post('/v1/diary/plan', { apply: true });
    expect(plan.body).toMatchObject({ placed: [], outside: [], unplaced: [] });
  });
});

describe('bad input to the diary', () => {
  let shop: Workshop;
  let topId = '';
  beforeAll(async () => {
    shop = await openWorkshop(NOW);
    const { headers } = await shop.get('/v1/diary/settings');
    const closures = [{ from: '2026-07-13', to: '2026-07-17', words: 'works fair' }];
    const etag = { 'if-match': String(headers['etag']) };
    await shop.call('PATCH', '/v1/diary/settings', { closures }, etag);
    const [one] = await dueOn(shop, '2026-06-20');
    topId = one?.topId ?? '';
  });
  afterAll(() => shop.close());

  it.each([
    ['/v1/diary?weeks=0', 'weeks'],
    ['/v1/diary?weeks=105', 'weeks'],
    ['/v1/diary?weeks=x', 'weeks'],
    ['/v1/diary?from=2026-02-30', 'from'],
    ['/v1/diary?from=2190-01-01', 'from'],
    ['/v1/diary?week=2', 'week'],
  ])('refuses %s by field', async (path, pointer) => {
    const answer = await shop.get(path);
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe(pointer);
  });

  it.each([
    [{ weekdays: [0] }, '#/weekdays/0'],
    [{ closures: [{ from: '2026-06-20', to: '2026-06-15', words: 'x' }] }, '#/closures/0/to'],
    [{ closures: [{ from: '2026-06-20', words: 'a\nb' }] }, '#/closures/0/words'],
    [{ shopRules: { minutesPerDay: 10 } }, '#/shopRules/minutesPerDay'],
    [{ shopRules: { slackSummerPct: 61 } }, '#/shopRules/slackSummerPct'],
    [{ opens: 8 }, '#/opens'],
  ])('refuses the settings %j by field and writes nothing', async (change, pointer) => {
    const before = await shop.get('/v1/diary/settings');
    const etag = String(before.headers['etag']);
    const answer = await shop.call('PATCH', '/v1/diary/settings', change, { 'if-match': etag });
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe(pointer);
    expect((await shop.get('/v1/diary/settings')).headers['etag']).toBe(etag);
  });

  it.each([
    [{ weeks: 0 }, '#/weeks'],
    [{ weeks: 105 }, '#/weeks'],
    [{ weeks: 2.5 }, '#/weeks'],
    [{ from: '2026-06-07' }, '#/from'],
    [{ from: '2099-01-01' }, '#/from'],
    [{ apply: 'yes' }, '#/apply'],
    [{ dryRun: true }, '#/dryRun'],
  ])('refuses %j by field', async (body, pointer) => {
    const answer = await shop.post('/v1/diary/plan', body);
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe(pointer);
  });

  it.each([
    [{ week: '2026-W23' }, '#/week', 'over'],
    [{ on: '2026-06-07' }, '#/on', 'over'],
    [{ week: '2026-W54' }, '#/week', 'exists'],
    [{ week: 'next' }, '#/week', 'ISO week'],
    [{ week: '2029-W01' }, '#/week', 'ahead'],
    [{ on: '2026-06-13' }, '#/on', 'closed'],
    [{ on: '2026-07-14' }, '#/on', 'fair'],
    [{ week: '2026-W29' }, '#/week', 'fair'],
    [{}, '#/week', 'either'],
    [{ week: WEEK, on: '2026-06-16' }, '#/week', 'either'],
    [{ week: WEEK, kind: 'respray' }, '#/kind', ''],
    [{ week: WEEK, minutes: 5 }, '#/minutes', ''],
  ])('refuses %j by field', async (body, pointer, words) => {
    const answer = await shop.post(`/v1/tops/${topId}/booking`, body);
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe(pointer);
    expect(answer.body.errors[0].detail).toContain(words);
    expect((await shop.get(`/v1/tops/${topId}/visits`)).body.items).toEqual([]);
  });
});
