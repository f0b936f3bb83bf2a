import { afterEach, beforeEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('fault finding and hardware', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  const find = (seen: string[], ruledOut?: string[]) =>
    shop.post('/v1/fault-finding', { seen, ruledOut });
  const record = (topId: string, fault: string) =>
    shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-01',
      findings: [{ fault, text: 'Found at the look.' }],
    });

  it('lists signs that can be ticked and faults that findings can name', async () => {
    const { items } = (await shop.get('/v1/signs')).body;
    const { body } = await find(items.map(({ id }: { id: string }) => id));
    expect(body.causes.length).toBeGreaterThan(0);
    const faults = (await shop.get('/v1/faults')).body.items;
    const ids = new Set(items.map(({ id }: { id: string }) => id));
    for (const { sign, proof } of faults)
      expect([ids.has(sign), ids.has(proof)]).toEqual([true, true]);
  });

  it('warns of the wrong sale, and gives the cautions for the work with the handbook first', async () => {
    const { status, body } = await find(['edge-arched-over-side-glass', 'side-edge-loose']);
    expect(status).toBe(200);
    expect(body.causes[0].id).toBe('cover-shrunk');
    expect(body.warnings[0]).toContain('Do not sell side cables');
    expect(body).toMatchObject({ priors: 'equal', leaveIt: null });
    expect(body.first.en).toContain('handbook');
    expect(body.cautions.map(({ id }: { id: string }) => id)).toContain('pinch-points');
  });

  it('gives the work in its order, once the causes are proven', async () => {
    const { body } = await find(['cable-end-frayed', 'cloth-stays-up', 'washer-count-short']);
    const standings = body.remedies.map(({ standing }: { standing: string }) => standing);
    expect(new Set(standings)).toEqual(new Set(['proven']));
    // Hours are shop rules: 0.75 for a washer, 10 and 4 to strip for a cover, 1 for cables.
    expect(body.plan).toMatchObject({ hours: 15.75, strippingHours: 4 });
    expect(body.plan.steps.map(({ fault }: { fault: string }) => fault)).toEqual([
      'washers-missing',
      'cover-shrunk',
      'tension-cable-broken',
    ]);
  });

  // Twenty visits are recorded.
  const slow = { timeout: 120_000 };
  it('starts from the own findings once twenty visits found any (shop rule)', slow, async () => {
    const { topId } = await fitted(shop);
    const seen = ['power-top-slow'];
    const before = (await find(seen)).body;
    for (let n = 0; n < 19; n += 1) await record(topId, 'ram-side-loaded');
    expect((await find(seen)).body.priors).toBe('equal');
    await record(topId, 'ram-side-loaded');
    const after = (await find(seen)).body;
    expect(after.priors).toBe('own findings');
    const chance = (body: typeof before) =>
      body.causes.find(({ id }: { id: string }) => id === 'ram-side-loaded')?.chance ?? 0;
    expect(chance(after)).toBeGreaterThan(chance(before));
    shop.key = await shop.keyFor('Another Club');
    expect((await find(seen)).body.priors).toBe('equal');
  });

  it('refuses signs that do not exist, and findings that name no fault, by field', async () => {
    const ghost = await find(['ghosts']);
    expect(ghost.status).toBe(400);
    expect(ghost.body.errors[0].pointer).toBe('#/seen/0');
    const { topId } = await fitted(shop);
    const visit = await record(topId, 'ghost-in-the-hinge');
    expect(visit.status).toBe(400);
    expect(visit.body.errors[0].pointer).toBe('#/findings/0/fault');
    expect((await shop.get(`/v1/tops/${topId}/visits`)).body.items).toEqual([]);
  });

  it('shows the sizes of the ISO tables', async () => {
    const { threads, sources } = (await shop.get('/v1/hardware')).body;
    // ISO 273 and ISO 7089, M8 (published, secondary copy); 13 mm across flats (ISO 4032).
    expect(threads.find(({ thread }: { thread: string }) => thread === 'M8')).toEqual({
      thread: 'M8',
      nominal: 8,
      clearanceHole: { fine: 8.4, medium: 9, coarse: 10 },
      plainWasher: { inside: 8.4, outside: 16, thickness: 1.6 },
      acrossFlats: 13,
      olderAcrossFlats: null,
    });
    expect(sources.map(({ source }: { source: string }) => source).join()).toContain('ISO 273');
  });

  it('judges a hole, and refuses one smaller than its pin', async () => {
    const worn = await shop.post('/v1/hardware/hole', { thread: 'M6', diametersMm: [7.1, 6.9] });
    expect(worn.body).toMatchObject({
      verdict: 'act',
      largestMm: 7.1,
      playMm: 1.1,
      limitsMm: null,
    });
    const small = await shop.post('/v1/hardware/hole', { thread: 'M6', diametersMm: [5.9, 6.1] });
    expect(small.status).toBe(400);
    expect(small.body.errors[0]).toMatchObject({ pointer: '#/diametersMm' });
  });

  it('lays out the repair of a pivot and of a whole frame', async () => {
    const { topId } = await fitted(shop);
    const set = (query: string) => shop.get(`/v1/tops/${topId}/repair-set${query}`);
    const main = (await set('?pivot=L-MAIN&thread=M8')).body;
    expect(main).toMatchObject({ pivot: 'L-MAIN', thread: 'M8', hole: null });
    expect(main.items.map(({ item }: { item: string }) => item).join()).not.toContain('bush');
    const worn = (await set('?pivot=L-MAIN&thread=M8&diametersMm=10.3&diametersMm=9.9')).body;
    expect(worn.hole.verdict).toBe('act');
    expect(worn.holeRepair).toMatchObject({ how: 'bush', outsideMm: 11, insideMm: 8 });
    expect(worn.items.map(({ item }: { item: string }) => item).join()).toContain('bush');
    // Without a thread, the pin that the frame pattern draws there decides: 6 mm at a stick.
    expect((await set('?pivot=L-STICK1')).body.thread).toBe('M6');
    const frame = (await set('')).body;
    // Sixteen of the eighteen joints of this pattern have spacers, the two latches have none.
    expect(frame.parts).toContainEqual(
      expect.objectContaining({ part: 'washer-pair', quantity: 16 }),
    );
    expect(frame.first.en).toContain('handbook');
    expect((await set('?pivot=L-WING')).body.errors[0].pointer).toBe('pivot');
  });
});
