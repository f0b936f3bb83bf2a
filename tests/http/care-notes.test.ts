import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

interface Letter {
  readonly kind: string;
  readonly text: string;
  readonly notBefore: string;
}

const round = async (at: string): Promise<Letter[]> => {
  shop.setNow(new Date(at).toISOString());
  const held = await shop.post('/v1/round', { at });
  const letters: { id: string }[] = held.body.letters;
  return Promise.all(letters.map(async ({ id }) => (await shop.get(`/v1/letters/${id}`)).body));
};
const kinds = (letters: readonly Letter[]) => letters.map(({ kind }) => kind).sort();
const log = (carId: string, position: string, at: string, more: object = {}) =>
  shop.post(`/v1/cars/${carId}/position`, { position, at, ...more });

// A top with nothing due, so that only folding and care can be written about.
const quiet = {
  car: { keeping: { place: 'outdoors', salt: 'none', use: 'summer', foldsPerYear: 80 } },
  top: { fittedOn: '2026-03-10' },
};

describe('care and alarms', () => {
  it('do not fall on one day, however often the round is held', async () => {
    const { carId, ownerId } = await fitted(shop, quiet);
    await log(carId, 'folded', '2026-06-08T08:00:00Z');
    expect(kinds(await round('2026-06-12T09:00:00Z'))).toEqual(['folded-over']);
    // Any change of the car or its owner makes the next round look at once.
    await shop.post('/v1/cars', {
      ownerId,
      registration: 'FK 2',
      handbook: {},
      keeping: { place: 'outdoors', salt: 'none', use: 'summer' },
    });
    await log(carId, 'folded', '2026-06-12T09:01:00Z', { coverOn: false });
    // What waits was written before it was known that the cover is off: it is written anew, and alone.
    expect(kinds(await round('2026-06-12T09:05:00Z'))).toEqual(['folded-over']);
    const { items } = (await shop.get(`/v1/letters?carId=${carId}`)).body;
    const states = items.map((one: { kind: string; state: string }) => `${one.kind} ${one.state}`);
    expect(states.sort()).toEqual(['folded-over cancelled', 'folded-over planned']);
    expect(await round('2026-06-12T09:06:00Z')).toEqual([]);
    expect(kinds(await round('2026-06-13T09:00:00Z'))).toEqual(['care-note']);
  });

  it('an alarm takes the day of a note that still waits, and the note comes on the next', async () => {
    const { carId } = await fitted(shop, quiet);
    const [note] = await round('2026-06-12T02:00:00Z');
    expect(note).toMatchObject({ kind: 'care-note', notBefore: '2026-06-12T07:00:00.000Z' });
    await log(carId, 'folded', '2026-06-08T08:00:00Z');
    expect(kinds(await round('2026-06-12T03:00:00Z'))).toEqual(['folded-over']);
    const cancelled = await shop.get(`/v1/letters?carId=${carId}&state=cancelled`);
    expect(cancelled.body.items).toMatchObject([
      { kind: 'care-note', cancelledWhy: 'made way for a newer letter' },
    ]);
    await log(carId, 'raised', '2026-06-12T08:00:00Z');
    expect(kinds(await round('2026-06-13T03:00:00Z'))).toEqual(['care-note']);
  });
});

describe('advice made timely by what was recorded', () => {
  it('speaks of travelling after a top stood over its limit and was raised', async () => {
    const { carId } = await fitted(shop, quiet);
    await log(carId, 'folded', '2026-06-01T08:00:00Z');
    await log(carId, 'raised', '2026-06-11T08:00:00Z');
    const [note] = await round('2026-06-12T09:00:00Z');
    expect(note?.text).toContain('Before you travel, raise the top');
  });

  it('asks for the seal of the tailgate after a visit found it missing', async () => {
    const { topId } = await fitted(shop, quiet);
    const visit = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-12',
      readings: [],
      findings: [
        { fault: 'tailgate-seal-missing', text: 'no seal at the tailgate', outcome: 'advised' },
      ],
    });
    expect(visit.status).toBe(201);
    const letters = await round('2026-06-13T09:00:00Z');
    const note = letters.find(({ kind }) => kind === 'care-note');
    expect(note?.text).toContain('rubber seal is there');
  });
});

describe('two cars of one owner', () => {
  it('each get the advice for a newly fitted top', async () => {
    const first = await fitted(shop, { top: { fittedOn: '2026-06-12' } });
    const [note] = await round('2026-06-12T09:00:00Z');
    expect(note?.text).toContain('leave the top up and latched');
    const car = await shop.post('/v1/cars', {
      ownerId: first.ownerId,
      registration: 'FK 2',
      handbook: {},
      keeping: { place: 'outdoors', salt: 'none', use: 'summer' },
    });
    shop.setNow('2026-07-20T09:00:00.000Z');
    await shop.post('/v1/tops', {
      carId: car.body.id,
      fittedOn: '2026-07-20',
      framePattern: 'four-seat-manual',
      cover: { material: 'cloth' },
      window: 'glass',
    });
    const letters = await round('2026-07-20T09:00:00Z');
    expect(letters.find(({ kind }) => kind === 'care-note')?.text).toContain(
      'leave the top up and latched',
    );
  });
});

describe('a note that asks for oil', () => {
  it('is cancelled as soon as the oil was given, and the next asks for the drains alone', async () => {
    // Room for all that March has to say, so that what is left out is left out on purpose.
    await shop.call('PATCH', '/v1/rules/figures', { 'advice.perNote': 6 }, { 'if-match': '*' });
    const { topId, carId } = await fitted(shop, { top: { fittedOn: '2024-03-20' } });
    const oil = (doneOn: string) =>
      shop.post(`/v1/tops/${topId}/visits`, { kind: 'lubrication', doneOn });
    await oil('2026-06-10');
    shop.setNow('2027-03-05T02:00:00.000Z');
    const note = (await round('2027-03-05T02:00:00Z')).find(({ kind }) => kind === 'care-note');
    expect(note?.text).toContain('Time for a drop of oil');
    await oil('2027-03-05');
    const gone = await shop.get(`/v1/letters?carId=${carId}&state=cancelled`);
    expect(gone.body.items).toContainEqual(
      expect.objectContaining({ kind: 'care-note', cancelledWhy: 'no longer true' }),
    );
    // The report of the visit has that day; the note comes on the next.
    expect(await round('2027-03-05T03:00:00Z')).toEqual([]);
    const [next] = await round('2027-03-06T03:00:00Z');
    expect(next?.text).not.toContain('Time for a drop of oil');
    expect(next?.text).toContain('Pour some water through the drains');
  });

  it('claims no oil of a new top whose joints nobody is known to have oiled', async () => {
    await shop.call('PATCH', '/v1/rules/figures', { 'advice.perNote': 6 }, { 'if-match': '*' });
    shop.setNow('2026-11-21T09:00:00.000Z');
    await fitted(shop, { top: { fittedOn: '2026-11-20' } });
    const note = (await round('2027-03-15T09:00:00Z')).find(({ kind }) => kind === 'care-note');
    expect(note?.text).toContain('Pour some water through the drains');
    expect(note?.text).not.toMatch(/had their oil/);
  });
});
