import { afterEach, beforeEach, expect, it } from 'vitest';
import { browse } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

// What a look takes before a shop has looks of its own: shop rule, shown by /v1/rules as `bench.look`.
const LOOK_MINUTES = 30;

eachDatabase('a joint that was found stiff or repaired', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-03-02T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  const kindsOf = (body: { letters?: { kind: string }[]; items?: { kind: string }[] }) =>
    (body.letters ?? body.items ?? [])
      .map(({ kind }) => kind)
      .filter((kind) => kind.startsWith('look-'));
  const roundAt = async (at: string) => {
    shop.setNow(at);
    const dry = await shop.post('/v1/round', { at, dryRun: true });
    const real = await shop.post('/v1/round', { at });
    expect(kindsOf(dry.body)).toEqual(kindsOf(real.body));
    return kindsOf(real.body);
  };
  const read = (topId: string, kind: string, doneOn: string, more: object) =>
    shop.post(`/v1/tops/${topId}/visits`, {
      kind,
      doneOn,
      readings: [{ pivot: 'L-MAIN', oiled: true, ...more }],
    });
  const stiffTop = async () => {
    const car = await fitted(shop, { top: { fittedOn: '2025-06-01' } });
    const visit = await read(car.topId, 'lubrication', '2026-03-02', { state: 'stiff' });
    expect(visit.status).toBe(201);
    return car;
  };
  const lookOf = async (topId: string) => (await shop.get(`/v1/tops/${topId}`)).body.look;

  it('is looked at again: due, listed, written, and answered by the look', async () => {
    const { topId, carId } = await stiffTop();
    expect(await lookOf(topId)).toEqual({
      since: '2026-03-02',
      dueOn: '2026-04-13',
      windowFrom: '2026-03-30',
      windowTo: '2026-04-27',
      state: 'ahead',
    });
    expect((await shop.get('/v1/looks?until=2026-03-29')).body.items).toEqual([]);
    expect((await shop.get('/v1/looks?until=2026-03-30')).body.items).toMatchObject([
      { topId, carId, look: { dueOn: '2026-04-13' } },
    ]);
    const report = (await shop.get(`/v1/letters?carId=${carId}`)).body.items.find(
      ({ kind }: { kind: string }) => kind === 'visit-report',
    );
    expect((await shop.get(`/v1/letters/${report.id}`)).body.text).toContain(
      'A second look at what was stiff or was repaired: 30 March',
    );

    const forecast = await shop.get('/v1/forecast?from=2026-03-02&to=2026-08-31');
    expect(
      forecast.body.items
        .filter(({ kind }: { kind: string }) => kind.startsWith('look-'))
        .map(({ kind, on }: { kind: string; on: string }) => [kind, on]),
    ).toEqual([['look-due', '2026-03-30']]);
    expect(await roundAt('2026-03-29T12:00:00.000Z')).toEqual([]);
    expect(await roundAt('2026-03-30T05:00:00.000Z')).toEqual(['look-due']);
    expect(await roundAt('2026-03-30T05:30:00.000Z')).toEqual([]);
    const [letter] = (await shop.get(`/v1/letters?carId=${carId}&state=planned`)).body.items.filter(
      ({ kind }: { kind: string }) => kind === 'look-due',
    );
    const { text, subject } = (await shop.get(`/v1/letters/${letter.id}`)).body;
    expect(subject).toBe('FK 1: a second look at the joints is due');
    expect(text).toContain('from Monday, 30 March 2026 to Monday, 27 April 2026');

    // Recording the look cancels what waits, in the same transaction, and nothing more is due.
    await read(topId, 'look', '2026-03-30', { state: 'free' });
    expect((await shop.get(`/v1/letters/${letter.id}`)).body).toMatchObject({
      state: 'cancelled',
      cancelledWhy: 'no longer true',
    });
    expect(await lookOf(topId)).toBeNull();
    expect(await roundAt('2026-05-04T12:00:00.000Z')).toEqual([]);
  });

  it('is asked for once more after the window, and then by no letter', async () => {
    await stiffTop();
    expect(await roundAt('2026-04-01T12:00:00.000Z')).toEqual(['look-due']);
    // Nothing was sent meanwhile: what waits is written anew with the advice of the season.
    expect(await roundAt('2026-05-03T12:00:00.000Z')).toEqual(['look-due']);
    expect(await roundAt('2026-05-04T12:00:00.000Z')).toEqual(['look-late']);
    expect(await roundAt('2026-06-20T12:00:00.000Z')).toEqual([]);
  });

  it('was repaired: the bolt is looked at again too, and a booking silences the letters', async () => {
    const { topId } = await fitted(shop, { top: { fittedOn: '2025-06-01' } });
    await read(topId, 'repair', '2026-03-02', { state: 'free', repaired: true });
    expect((await lookOf(topId)).since).toBe('2026-03-02');
    const booked = await shop.post(`/v1/tops/${topId}/booking`, { kind: 'look', on: '2026-04-08' });
    expect(booked.status).toBe(201);
    expect((await shop.get('/v1/looks?until=2026-04-30')).body.items).toEqual([]);
    expect(await roundAt('2026-04-01T12:00:00.000Z')).toEqual([]);
    shop.setNow('2026-04-08T18:00:00.000Z');
    await shop.call(
      'PATCH',
      `/v1/visits/${booked.body.id}`,
      { state: 'missed' },
      { 'if-match': '*' },
    );
    expect(await roundAt('2026-04-09T12:00:00.000Z')).toEqual(['look-due']);
  });

  it('did not come: its owner is worth a call, long after the last letter, until the look', async () => {
    const { topId, carId } = await fitted(shop, { top: { fittedOn: '2025-06-01' } });
    await read(topId, 'lubrication', '2026-02-02', { state: 'free' });
    await read(topId, 'repair', '2026-03-02', { state: 'free', repaired: true });
    const causes = async (at: string) => {
      shop.setNow(at);
      const { items } = (await shop.get('/v1/calls')).body;
      const call = items.find((one: { carId: string }) => one.carId === carId);
      return call?.causes.map(({ kind }: { kind: string }) => kind) ?? [];
    };
    expect(await causes('2026-04-12T12:00:00.000Z')).toEqual([]);
    expect(await causes('2026-04-13T12:00:00.000Z')).toContain('not-looked-at');
    expect(await causes('2026-07-20T12:00:00.000Z')).toContain('not-looked-at');
    await read(topId, 'look', '2026-07-20', { state: 'free' });
    expect(await causes('2026-07-20T13:00:00.000Z')).not.toContain('not-looked-at');
  });

  it('takes its place on the bench: planned, offered, and booked from the offer', async () => {
    const { topId } = await stiffTop();
    shop.setNow('2026-03-20T09:00:00.000Z');
    const plan = await shop.post('/v1/diary/plan', { weeks: 8, apply: true });
    expect(plan.status).toBe(200);
    const placed = plan.body.placed.filter(({ kind }: { kind: string }) => kind === 'look');
    expect(placed).toMatchObject([{ topId, dueOn: '2026-04-13' }]);
    expect(placed[0].week >= '2026-W14' && placed[0].week <= '2026-W18').toBe(true);
    // Held again, it changes nothing that was offered.
    const again = await shop.post('/v1/diary/plan', { weeks: 8, apply: true });
    expect(again.body.offers).toMatchObject({ made: 0, ended: 0 });
    const offer = await shop.get(`/v1/tops/${topId}/offer?kind=look`);
    expect(offer.body).toMatchObject({ kind: 'look', dueOn: '2026-04-13' });
    expect(offer.body.offeredAt).not.toBeNull();
    const [told] = (await shop.get('/v1/letters')).body.items.filter(
      ({ kind }: { kind: string }) => kind === 'visit-offered',
    );
    const { text } = (await shop.get(`/v1/letters/${told.id}`)).body;
    expect(text).toContain('a look over the top');
    const booked = await shop.post(`/v1/tops/${topId}/booking`, {
      kind: 'look',
      week: placed[0].week,
    });
    expect(booked.status).toBe(201);
    expect((await shop.get(`/v1/tops/${topId}/offer?kind=look`)).body.offeredAt).toBeNull();
  });

  const linkIn = async (carId: string, kind: string) => {
    const { items } = (await shop.get(`/v1/letters?carId=${carId}`)).body;
    const letter = items.findLast((one: { kind: string }) => one.kind === kind);
    return /https:\/\/care\.example\.org(\/b\/\S+)/.exec(letter?.text ?? '')?.[1] ?? '';
  };
  const firstDay = (html: string) => ({
    was: /name="was" value="([^"]+)"/.exec(html)?.[1] ?? '',
    day: /name="day" value="([^"]+)"/.exec(html)?.[1] ?? '',
  });

  it('chooses its day by the button of the letter: a look, with its own length, and no letter more', async () => {
    const { topId, carId } = await stiffTop();
    for (const [at, kind] of [
      ['2026-04-01T12:00:00.000Z', 'look-due'],
      ['2026-05-04T12:00:00.000Z', 'look-late'],
    ] as const) {
      expect(await roundAt(at)).toEqual([kind]);
      const link = await linkIn(carId, kind);
      expect([kind, link]).toEqual([kind, expect.stringContaining('/b/')]);
      const { html } = await browse(shop, 'GET', link);
      expect(html).toContain('FK 1 (a look over the top)');
      const done = await browse(shop, 'POST', link, firstDay(html));
      expect(done.html).toContain('Your visit is booked');
      const { items } = (await shop.get(`/v1/tops/${topId}/visits`)).body;
      const [visit] = items.filter(({ state }: { state: string }) => state === 'booked');
      expect(visit).toMatchObject({ kind: 'look' });
      expect(Date.parse(visit.readyAt) - Date.parse(visit.dropOffAt)).toBe(LOOK_MINUTES * 60_000);
      expect((await shop.get('/v1/looks?until=2026-06-30')).body.items).toEqual([]);
      expect(await roundAt(at)).toEqual([]);
      await shop.call(
        'PATCH',
        `/v1/visits/${visit.id}`,
        { state: 'cancelled' },
        { 'if-match': '*' },
      );
    }
  });

  it('offers no day of a house where owners do not book, but says how to get one', async () => {
    const before = await shop.get('/v1/diary/settings');
    const tag = { 'if-match': String(before.headers['etag']) };
    await shop.call('PATCH', '/v1/diary/settings', { takesBookings: false }, tag);
    const { carId } = await stiffTop();
    expect(await roundAt('2026-04-01T12:00:00.000Z')).toEqual(['look-due']);
    expect(await linkIn(carId, 'look-due')).toBe('');
  });

  it('is what a warranty that ends offers a day for: have it looked at before', async () => {
    const { topId, carId } = await fitted(shop, {
      top: { fittedOn: '2025-06-01', warranties: [{ part: 'stitching', months: 12 }] },
    });
    await read(topId, 'lubrication', '2026-03-02', { state: 'free' });
    shop.setNow('2026-04-20T12:00:00.000Z');
    await shop.post('/v1/round', { at: '2026-04-20T12:00:00.000Z' });
    const link = await linkIn(carId, 'warranty-ending');
    const { html } = await browse(shop, 'GET', link);
    expect(html).toContain('FK 1 (a look over the top)');
    await browse(shop, 'POST', link, firstDay(html));
    expect((await shop.get(`/v1/tops/${topId}/visits`)).body.items).toMatchObject([
      { kind: 'lubrication' },
      { kind: 'look', state: 'booked' },
    ]);
  });
});
