import { afterEach, beforeEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('warranties and declined work', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  const top = {
    fittedOn: '2024-07-31',
    warranties: [
      { part: 'cover', months: 24 },
      { part: 'workmanship', months: 12 },
      { part: 'glass-bond', months: 72 },
    ],
  };
  const found = async (topId: string, doneOn: string, ...findings: object[]) =>
    (await shop.post(`/v1/tops/${topId}/visits`, { kind: 'look', doneOn, findings })).body;
  const seam = { fault: 'stitches-rotted', text: 'Rear seam gapes.', advised: 'Sew it by hand.' };
  const washers = {
    fault: 'washers-missing',
    pivot: 'L-MAIN',
    text: 'One washer gone.',
    advised: 'Renew the pair.',
    outcome: 'declined',
  };
  const decide = (visit: { id: string; findings: { id: string }[] }, body: object, match = '*') =>
    shop.call('PATCH', `/v1/visits/${visit.id}/findings/${visit.findings[0]?.id}`, body, {
      'if-match': match,
    });
  const declined = async () => (await shop.get('/v1/declined')).body.items;

  it('lists the terms that end soon, with what is open on the top', async () => {
    const { topId } = await fitted(shop, { top });
    await found(topId, '2025-06-01', seam, washers);
    await found(topId, '2025-08-01', { ...washers, outcome: 'done' });
    const { body } = await shop.get('/v1/warranties?endingWithin=60');
    // 31 July and 24 whole months on, 49 days from 12 June.
    expect(body.items).toHaveLength(1);
    expect(body.items[0]).toMatchObject({
      topId,
      part: 'cover',
      endsOn: '2026-07-31',
      daysLeft: 49,
      registration: 'FK 1',
    });
    expect(body.items[0].openNotes).toHaveLength(1);
    expect(body.items[0].openNotes[0]).toMatchObject({
      advised: 'Sew it by hand.',
      outcome: 'advised',
    });
    expect(body.words.en).toContain('statutory');
    expect((await shop.get('/v1/warranties?endingWithin=30')).body.items).toEqual([]);
  });

  it('is paged, soonest first', async () => {
    await fitted(shop, { top });
    await fitted(shop, { top: { ...top, fittedOn: '2024-06-30' } });
    await fitted(shop, { top });
    const first = (await shop.get('/v1/warranties?endingWithin=60&limit=2')).body;
    expect(first.items.map(({ endsOn }: { endsOn: string }) => endsOn)).toEqual([
      '2026-06-30',
      '2026-07-31',
    ]);
    const rest = (await shop.get(`/v1/warranties?endingWithin=60&limit=2&after=${first.next}`))
      .body;
    expect(rest.items).toHaveLength(1);
    expect(rest.items[0].topId).not.toBe(first.items[1].topId);
    expect(rest.next).toBeNull();
  });

  it('names the open work in the letter about the warranty', async () => {
    const { topId } = await fitted(shop, { top });
    await found(topId, '2025-06-01', seam);
    await shop.post('/v1/round', { at: '2026-06-12T09:00:00Z' });
    const { items } = (await shop.get('/v1/letters?state=planned')).body;
    const { id } = items.find(({ kind }: { kind: string }) => kind === 'warranty-ending');
    const letter = (await shop.get(`/v1/letters/${id}`)).body;
    expect(letter.text).toContain('Sew it by hand.');
    expect(letter.html).toContain('Sew it by hand.');
  });

  it('writes a letter that waits anew when the work that is open changes, and none that left', async () => {
    const { topId, carId, ownerId } = await fitted(shop, { top });
    const beside = { ownerId, registration: 'FK 2', handbook: {} };
    const keeping = { place: 'outdoors', salt: 'none', use: 'summer' };
    const { body: second } = await shop.post('/v1/cars', { ...beside, keeping });
    await shop.post('/v1/tops', {
      carId: second.id,
      framePattern: 'four-seat-manual',
      cover: { material: 'cloth' },
      window: 'glass',
      ...top,
    });
    const visit = await found(topId, '2025-06-01', seam);
    // The report of a visit takes the letter of its day: the rest waits for the next.
    let day = 12;
    const waiting = async () => {
      shop.setNow(`2026-06-${day++}T09:00:00.000Z`);
      await shop.post('/v1/round', {});
      const { items } = (await shop.get(`/v1/letters?carId=${carId}`)).body;
      return items.filter(
        (letter: { kind: string; state: string }) =>
          letter.kind === 'warranty-ending' && letter.state !== 'cancelled',
      );
    };
    const [first] = await waiting();
    expect(first.carIds).toHaveLength(2);
    expect(first.text).toContain('Sew it by hand.');
    await found(topId, '2026-06-10', { text: 'Hem torn.', advised: 'Renew the hem.' });
    const [more, ...twice] = await waiting();
    expect(twice).toEqual([]);
    expect(more.id).not.toBe(first.id);
    for (const note of ['Sew it by hand.', 'Renew the hem.']) expect(more.text).toContain(note);
    await decide(visit, { outcome: 'done' });
    const [less] = await waiting();
    expect(less.text).not.toContain('Sew it by hand.');
    expect(less.text).toContain('Renew the hem.');
    // The other car of the letter is written about again too.
    expect(less.carIds).toHaveLength(2);
    const cancelled = await shop.get(`/v1/letters/${more.id}`);
    expect(cancelled.body).toMatchObject({
      state: 'cancelled',
      cancelledWhy: 'the work that is open has changed',
    });
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "letter" SET "state" = 'delivered' WHERE "id" = ?`, [less.id]),
    );
    await found(topId, '2026-06-11', seam);
    expect((await waiting()).map(({ id }: { id: string }) => id)).toEqual([less.id]);
  });

  it('tells of a decision in the report that waits, and sends no second one', async () => {
    const { topId, carId } = await fitted(shop);
    const visit = await found(topId, '2026-06-12', seam);
    const reports = async () =>
      (await shop.get(`/v1/letters?carId=${carId}`)).body.items.filter(
        ({ kind }: { kind: string }) => kind === 'visit-report',
      );
    const [before] = await reports();
    expect(before.state).toBe('planned');
    await decide(visit, { outcome: 'declined' });
    const [old, anew] = await reports();
    expect(old).toMatchObject({ id: before.id, state: 'cancelled' });
    expect(anew.state).toBe('planned');
    expect(anew.text).not.toBe(before.text);
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "letter" SET "state" = 'delivered' WHERE "id" = ?`, [anew.id]),
    );
    await decide(visit, { outcome: 'accepted' });
    expect(await reports()).toHaveLength(2);
  });

  it('notes what came of an advice, under the version of the visit', async () => {
    const { topId } = await fitted(shop, { top });
    const visit = await found(topId, '2026-06-01', seam);
    const answer = await decide(visit, { outcome: 'declined', decidedOn: '2026-06-05' }, '"v1"');
    expect(answer.status).toBe(200);
    expect(answer.body).toMatchObject({
      version: 2,
      findings: [{ outcome: 'declined', decidedOn: '2026-06-05' }],
    });
    expect((await decide(visit, { outcome: 'done' }, '"v1"')).status).toBe(412);
    const later = await decide(visit, { outcome: 'accepted', decidedOn: '2026-06-13' });
    expect(later.body.errors[0].pointer).toBe('#/decidedOn');
    const early = await decide(visit, { outcome: 'accepted', decidedOn: '2026-05-31' });
    expect(early.body.errors[0].pointer).toBe('#/decidedOn');
    const today = await decide(visit, { outcome: 'done' });
    expect(today.body.findings[0]).toMatchObject({ outcome: 'done', decidedOn: '2026-06-12' });
    expect((await decide({ ...visit, findings: [{ id: 'x' }] }, { outcome: 'done' })).status).toBe(
      404,
    );
  });

  it('lists declined work with its days until it is taken up', async () => {
    const { topId } = await fitted(shop);
    await found(topId, '2025-06-01', washers);
    const again = await found(topId, '2026-05-01', washers);
    expect(await declined()).toEqual([
      expect.objectContaining({
        topId,
        fault: 'washers-missing',
        name: expect.stringMatching(/washer/),
        pivot: 'L-MAIN',
        firstOn: '2025-06-01',
        lastOn: '2026-05-01',
        times: 2,
        ownerName: 'Ada Quill',
      }),
    ]);
    await decide(again, { outcome: 'accepted' });
    expect(await declined()).toEqual([]);
  });

  it('keeps work at a pivot over a re-cover, and lets that of the old cover go', async () => {
    const { topId, carId } = await fitted(shop);
    await found(topId, '2025-06-01', washers, { ...seam, outcome: 'declined' });
    expect(await declined()).toHaveLength(2);
    const next = await shop.post('/v1/tops', {
      carId,
      fittedOn: '2026-06-01',
      framePattern: 'four-seat-manual',
      cover: { material: 'vinyl' },
      window: 'clear-vinyl',
    });
    expect(await declined()).toEqual([
      expect.objectContaining({ topId: next.body.id, fault: 'washers-missing' }),
    ]);
    shop.key = await shop.keyFor('Another Club');
    expect(await declined()).toEqual([]);
    expect((await shop.get('/v1/warranties?endingWithin=3000')).body.items).toEqual([]);
  });
});
