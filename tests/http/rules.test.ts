import { afterEach, beforeEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('the rules and their figures', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  const set = (figures: object, match: string | null = '*') =>
    shop.call('PATCH', '/v1/rules/figures', figures, match === null ? {} : { 'if-match': match });
  const figure = (body: { items: { figures: { name: string }[] }[] }, name: string) =>
    body.items.flatMap(({ figures }) => figures).find((one) => one.name === name);
  const lubrication = async (topId: string) =>
    (await shop.get(`/v1/tops/${topId}`)).body.lubrication;
  const letters = async (state: string) =>
    (await shop.get(`/v1/letters?state=${state}`)).body.items
      .map(({ kind }: { kind: string }) => kind)
      .filter((kind: string) => kind !== 'care-note');

  it('are listed with what they take, their figures and sources', async () => {
    const { body, headers } = await shop.get('/v1/rules');
    expect(headers['etag']).toBe('"v1"');
    expect(body.items.map(({ name }: { name: string }) => name)).toContain('fault-finding');
    expect(figure(body, 'interval.faultFactor')).toMatchObject({
      value: 0.5,
      mark: 'shop rule',
      min: 0.1,
      max: 1,
      own: null,
    });
    expect(figure(body, 'corrosion.so2Factor')).toMatchObject({
      value: 1.77,
      mark: 'published, secondary copy',
      min: null,
    });
    const hole = body.items.find(({ name }: { name: string }) => name === 'hole');
    expect(hole.input.properties).toHaveProperty('diametersMm');
  });

  it('are tried with the own figures', async () => {
    const input = { thread: 'M6', diametersMm: [6.6, 6.5] };
    const plain = await shop.post('/v1/rules/hole/try?explain=true', input);
    expect(plain.body).toMatchObject({ verdict: 'plan', explanation: expect.any(Array) });
    expect((await set({ 'hole.roundWatchOver': 0.05, 'hole.playPlanOver': 0.7 })).status).toBe(200);
    expect((await shop.post('/v1/rules/hole/try', input)).body.verdict).toBe('watch');
    expect((await shop.post('/v1/hardware/hole', input)).body.verdict).toBe('watch');
    const faulty = await shop.post('/v1/rules/hole/try', { ...input, thread: 'M7' });
    expect(faulty.status).toBe(400);
    expect(faulty.body.errors[0].pointer).toBe('#/thread');
    expect((await shop.post('/v1/rules/round/try', {})).status).toBe(404);
  });

  it('say how long a new car may stand folded, and how far an entry may lie ahead', async () => {
    const ahead = async (carId: string, at: string) =>
      (await shop.post(`/v1/cars/${carId}/position`, { position: 'folded', at })).status;
    const first = await fitted(shop);
    expect((await shop.get(`/v1/cars/${first.carId}`)).body.handbook.foldedLimitDays).toBe(3);
    expect(await ahead(first.carId, '2026-06-12T09:05:00Z')).toBe(201);
    expect(await ahead(first.carId, '2026-06-12T09:06:00Z')).toBe(400);
    await set({ 'folding.foldedLimitDays': 5, 'folding.futureMinutes': 20 });
    const second = await fitted(shop, { car: { registration: 'FK 2' } });
    expect((await shop.get(`/v1/cars/${second.carId}`)).body.handbook.foldedLimitDays).toBe(5);
    expect(await ahead(second.carId, '2026-06-12T09:20:00Z')).toBe(201);
    expect(await ahead(second.carId, '2026-06-12T09:21:00Z')).toBe(400);
  });

  it.each([
    [28, 'cancelled'],
    [7, 'booked'],
  ])(
    'say which booking a visit closes: within %d days, one 14 days ahead is %s',
    async (sameVisitDays, state) => {
      await set({ 'bench.sameVisitDays': sameVisitDays });
      const { topId } = await fitted(shop);
      const visits = `/v1/tops/${topId}/visits`;
      const booked = await shop.post(visits, { kind: 'look', plannedOn: '2026-06-25' });
      expect(booked.status).toBe(201);
      await shop.post(visits, { kind: 'look', doneOn: '2026-06-11' });
      const { items } = (await shop.get(visits)).body;
      const found = items.find(({ id }: { id: string }) => id === booked.body.id);
      expect(found).toMatchObject({ state });
    },
  );

  it('keep every change of a figure, by whom, from what and to what', async () => {
    expect((await set({ 'interval.faultFactor': 0.6 })).headers['etag']).toBe('"v2"');
    await set({ 'interval.faultFactor': null, 'due.windowAfterDays': 14 });
    const same = await set({ 'due.windowAfterDays': 14 });
    expect(same.headers['etag']).toBe('"v3"');
    const { items } = (await shop.get('/v1/rules/changes')).body;
    expect(
      items.map(({ figure: name, was, becomes, version }: Record<string, unknown>) => [
        name,
        was,
        becomes,
        version,
      ]),
    ).toEqual([
      ['interval.faultFactor', null, 0.6, 2],
      ['interval.faultFactor', 0.6, null, 3],
      ['due.windowAfterDays', null, 14, 3],
    ]);
    expect(items[0]).toMatchObject({ changedAt: '2026-06-12T09:00:00.000Z' });
    expect(items[0].keyId).not.toBe('');
    const next = (await shop.get('/v1/rules/changes?limit=2')).body.next;
    expect((await shop.get(`/v1/rules/changes?limit=2&after=${next}`)).body.items).toHaveLength(1);
  });

  it.each([
    [{ 'interval.nonsense': 1 }, '#/interval.nonsense', 'no such figure'],
    [{ 'interval.faultFactor': 0.05 }, '#/interval.faultFactor', 'from 0.1 to 1'],
    [{ 'corrosion.so2Factor': 2 }, '#/corrosion.so2Factor', 'stays as it is'],
    [{ 'interval.longestMonths': 24 }, '#/interval.longestMonths', 'stays as it is'],
    [{ 'due.windowAfterDays': 10.5 }, '#/due.windowAfterDays', 'whole number'],
    [{ 'interval.faultFactor': '0.6' }, '#/interval.faultFactor', ''],
    [{}, '#', 'at least one figure'],
  ])('refuse %j', async (change, pointer, words) => {
    const { status, body } = await set(change);
    expect(status).toBe(400);
    expect(body.errors[0].pointer).toBe(pointer);
    expect(body.errors[0].detail).toContain(words);
    expect((await shop.get('/v1/rules')).headers['etag']).toBe('"v1"');
  });

  it('change only under the version that was read', async () => {
    expect((await set({ 'interval.faultFactor': 0.6 }, null)).status).toBe(428);
    expect((await set({ 'interval.faultFactor': 0.6 }, '"v7"')).status).toBe(412);
    expect((await set({ 'interval.faultFactor': 0.6 }, '"v1"')).status).toBe(200);
  });

  it('work out the due days of all tops anew, and leave other organisations alone', async () => {
    const sea = { car: { keeping: { place: 'outdoors', salt: 'by-sea', use: 'summer' } } };
    const { topId } = await fitted(shop, sea);
    const inland = await fitted(shop);
    await shop.post(`/v1/tops/${inland.topId}/visits`, {
      kind: 'lubrication',
      doneOn: '2026-06-01',
      readings: [{ pivot: 'L-MAIN', state: 'stiff', oiled: true, washersPresent: 2 }],
    });
    // 12 × √(37.5 / 140) = 6.2 months by the sea; 12 × 0.5 with a stiff pivot.
    expect((await lubrication(topId)).intervalMonths).toBe(6);
    expect(await lubrication(inland.topId)).toMatchObject({
      intervalMonths: 6,
      dueOn: '2026-12-01',
    });
    const own = shop.key;
    shop.key = await shop.keyFor('Another Club');
    const other = await fitted(shop, sea);
    shop.key = own;
    await set({ 'interval.rateC5': 85, 'interval.faultFactor': 0.75, 'due.windowAfterDays': 10 });
    // 12 × √(37.5 / 85) = 7.97; 12 × 0.75 = 9.
    expect((await lubrication(topId)).intervalMonths).toBe(8);
    expect(await lubrication(inland.topId)).toMatchObject({
      intervalMonths: 9,
      dueOn: '2027-03-01',
      windowTo: '2027-03-11',
      because: expect.arrayContaining(['pivot stiff or washer missing: 9']),
    });
    // What is recorded later goes by the same figures, and so does a top fitted later.
    await shop.post(`/v1/tops/${topId}/visits`, { kind: 'lubrication', doneOn: '2026-06-10' });
    expect(await lubrication(topId)).toMatchObject({ intervalMonths: 8, dueOn: '2027-02-10' });
    const later = await fitted(shop, sea);
    expect((await lubrication(later.topId)).intervalMonths).toBe(8);
    shop.key = await shop.keyFor('Another Club');
    expect((await lubrication(other.topId)).intervalMonths).toBe(6);
  });

  it('are changed while visits are recorded, and neither is lost or decided by old figures', async () => {
    const keeping = { place: 'outdoors', salt: 'by-sea', use: 'summer' };
    const tops = [];
    for (let n = 0; n < 4; n += 1) tops.push(await fitted(shop, { car: { keeping } }));
    const answers = await Promise.all([
      ...tops.map(({ topId }) =>
        shop.post(`/v1/tops/${topId}/visits`, { kind: 'lubrication', doneOn: '2026-06-10' }),
      ),
      set({ 'interval.rateC5': 85 }),
      ...tops.map(({ carId }) =>
        shop.call(
          'PATCH',
          `/v1/cars/${carId}`,
          { keeping: { use: 'all-year' } },
          { 'if-match': '*' },
        ),
      ),
    ]);
    expect(answers.map(({ status }) => status)).toEqual([
      201,
      201,
      201,
      201,
      ...Array(5).fill(200),
    ]);
    for (const { topId } of tops) {
      expect(await lubrication(topId)).toMatchObject({ intervalMonths: 8, dueOn: '2027-02-10' });
    }
  });

  it('cancel the letters that a change makes untrue, in the same transaction', async () => {
    await fitted(shop, { top: { fittedOn: '2025-05-10' } });
    await shop.post('/v1/round', { at: '2026-06-12T09:00:00Z' });
    expect(await letters('planned')).toEqual(['lubrication-late']);
    await set({ 'round.firstLateDays': 40 });
    expect(await letters('cancelled')).toEqual(['lubrication-late']);
    await shop.post('/v1/round', { at: '2026-06-12T09:01:00Z' });
    expect(await letters('planned')).toEqual(['lubrication-due']);
  });

  it('let the own folded clock decide position, letters and the next look alike', async () => {
    const { carId } = await fitted(shop, { top: { fittedOn: '2026-06-01' } });
    const logged = { position: 'folded', at: '2026-06-11T09:00:00Z', damp: true };
    await shop.post(`/v1/cars/${carId}/position`, logged);
    const state = async () => (await shop.get(`/v1/cars/${carId}/position`)).body.stretch.state;
    expect(await state()).toBe('over');
    await set({ 'folding.dampLimitDays': 2 });
    expect(await state()).toBe('nearing');
    const round = await shop.post('/v1/round', { at: '2026-06-12T09:00:00Z' });
    expect(round.body.letters.map(({ kind }: { kind: string }) => kind)).toContain(
      'folded-nearing',
    );
    const next = await shop.post('/v1/round', { at: '2026-06-13T09:00:00Z' });
    expect(next.body.letters.map(({ kind }: { kind: string }) => kind)).toContain('folded-over');
  });

  it('let the own limits decide the verdict on a pivot', async () => {
    const { topId } = await fitted(shop);
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-01',
      readings: [{ pivot: 'L-MAIN', state: 'free', oiled: true, axialPlayMm: 0.45 }],
    });
    const verdict = async () => (await shop.get(`/v1/tops/${topId}/pivots`)).body.items[0].verdict;
    expect(await verdict()).toBe('watch');
    await set({ 'pivots.axialPlanOver': 0.4 });
    expect(await verdict()).toBe('plan');
  });
});

eachDatabase('the organisation', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-12T21:30:00.000Z');
  });
  afterEach(() => shop.close());

  const change = (body: object, match = '*') =>
    shop.call('PATCH', '/v1/organisation', body, { 'if-match': match });

  it('shows and changes itself under its version', async () => {
    const before = await shop.get('/v1/organisation');
    expect(before.body).toMatchObject({
      name: 'Elmyard Soft Tops',
      kind: 'shop',
      letterHours: { from: 8, to: 20 },
      nightAlarms: false,
      dailyMail: true,
      version: 1,
    });
    const after = await change(
      { phone: '01632 960 001', letterHours: { from: 9, to: 18 } },
      '"v1"',
    );
    expect(after.body).toMatchObject({ letterHours: { from: 9, to: 18 }, version: 2 });
    expect(after.headers['etag']).toBe('"v2"');
    expect((await change({ phone: null }, '"v1"')).status).toBe(412);
    expect((await change({ phone: null })).body.phone).toBeNull();
  });

  it('refuses hours that end first, zones that do not exist, and the name of another', async () => {
    await shop.keyFor('Another Club');
    expect((await change({ letterHours: { from: 20, to: 8 } })).body.errors[0].pointer).toBe(
      '#/letterHours/to',
    );
    expect((await change({ timeZone: 'Mars/Base' })).status).toBe(400);
    expect((await change({ name: 'Another Club' })).status).toBe(409);
    expect((await shop.get('/v1/organisation')).body.version).toBe(1);
  });

  it('moves waiting letters to its new hours, and alarms into the night where it allows them', async () => {
    const { carId } = await fitted(shop, { top: { fittedOn: '2025-05-25' } });
    await shop.post(`/v1/cars/${carId}/position`, {
      position: 'folded',
      at: '2026-06-08T08:00:00Z',
    });
    const waiting = async () => {
      await shop.post('/v1/round', { at: '2026-06-12T21:30:00Z' });
      const { items } = (await shop.get('/v1/letters?state=planned')).body;
      return new Map(
        items.map(({ kind, notBefore }: Record<string, string>) => [kind, notBefore] as const),
      );
    };
    // 22:30 in London: everything waits for eight in the morning.
    expect((await waiting()).get('folded-over')).toBe('2026-06-13T07:00:00.000Z');
    await change({ nightAlarms: true });
    expect((await waiting()).get('folded-over')).toBe('2026-06-12T21:30:00.000Z');
    await change({ letterHours: { from: 10, to: 18 } });
    expect((await waiting()).get('lubrication-due')).toBe('2026-06-13T09:00:00.000Z');
  });
});
