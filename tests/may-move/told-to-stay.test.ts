import { afterEach, beforeEach, expect, it } from 'vitest';
import { browse } from '../pages/link-for.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { sellCar } from '../../src/usecases/owners/sell-car.ts';
import { deliverAll } from '../round/deliver-all.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { toldToMove } from './movement-words.ts';

const NOW = '2026-06-08T21:00:00.000Z';
// So long ago that no report of it is sent any more.
const SILENT = '2026-05-18';

interface Letter {
  readonly id: string;
  readonly kind: string;
  readonly state: string;
  readonly subject: string;
  readonly text: string;
  readonly notBefore: string;
}

eachDatabase('a raised top that must stay, with nothing else due', ({ open }) => {
  let shop: Workshop;
  let car: CarAndTop;
  beforeEach(async () => {
    shop = await open(NOW);
    car = await fitted(shop, { car: { registration: 'STUCK' }, top: { fittedOn: '2026-04-01' } });
  });
  afterEach(() => shop.close());

  const visit = async (body: object) => {
    const { status, body: said } = await shop.post(`/v1/tops/${car.topId}/visits`, body);
    expect([status, said]).toEqual([201, said]);
  };
  const found = (state: string, doneOn = SILENT, more = {}) =>
    visit({ kind: 'look', doneOn, readings: [{ pivot: 'R-MAIN', state, oiled: false, ...more }] });
  const letters = async (): Promise<Letter[]> =>
    (await shop.get('/v1/letters?limit=100')).body.items;
  const told = async () =>
    (await letters()).filter(({ kind, state }) => kind === 'must-stay' && state !== 'cancelled');
  const round = async (at: string): Promise<Letter[]> => {
    shop.setNow(at);
    const { letters: dry } = (await shop.post('/v1/round', { dryRun: true })).body;
    const { letters: real } = (await shop.post('/v1/round')).body;
    expect(dry.map(({ kind, text }: Letter) => [kind, text.slice(0, 400)])).toEqual(
      real.map(({ kind, text }: Letter) => [kind, text.slice(0, 400)]),
    );
    return real;
  };

  it('is told of to its owner once, by the round, whatever was refused', async () => {
    await found('seized');
    await shop.call('PUT', `/v1/owners/${car.ownerId}/preferences`, {
      refusedTopics: ['reminders', 'folded-limit', 'care-notes', 'offers'],
    });
    const ahead = (await shop.get('/v1/forecast?from=2026-06-08&to=2026-12-31')).body.items;
    expect(ahead.filter(({ kind }: Letter) => kind === 'must-stay')).toEqual([
      { kind: 'must-stay', ownerId: car.ownerId, carIds: [car.carId], on: '2026-06-09' },
    ]);
    const [letter] = (await round(NOW)).filter(({ kind }) => kind === 'must-stay');
    expect(letter?.notBefore).toBe('2026-06-09T07:00:00.000Z');
    expect(letter?.subject).toBe('Your top: please leave it as it is for now');
    expect(letter?.text).toContain('right main pivot: seized, it does not turn');
    expect(letter?.text).toContain('Keep hands, children and onlookers away from the joints');
    expect(letter?.text).not.toMatch(/motor|switch|STUCK.*folded/i);
    expect(toldToMove(letter?.text ?? '')).toEqual([]);
    for (const at of ['2026-06-09T09:00:00.000Z', '2026-06-30T09:00:00.000Z']) {
      await deliverAll(shop);
      expect((await round(at)).map(({ kind }) => kind)).not.toContain('must-stay');
    }
    // Looked at again and still seized, it is the same matter.
    await found('seized', '2026-06-10');
    await round('2026-06-30T10:00:00.000Z');
    expect(await told()).toHaveLength(1);
  });

  it('is told of no more once it is mended, and again when it has seized anew', async () => {
    await found('seized');
    await round(NOW);
    expect(await told()).toHaveLength(1);
    await visit({ kind: 'repair', doneOn: '2026-05-19' });
    expect(await told()).toEqual([]);
    const after = await round('2026-06-09T09:00:00.000Z');
    expect(after.map(({ kind }) => kind)).toEqual(['care-note']);
    await found('seized', '2026-05-22');
    await round('2026-06-09T10:00:00.000Z');
    expect(await told()).toHaveLength(1);
  });

  it('is left to the report, or to the word of the booking, where those go', async () => {
    await found('seized', '2026-06-08');
    expect((await letters()).map(({ kind }) => kind)).toEqual(['visit-report']);
    await round(NOW);
    expect((await letters()).map(({ kind }) => kind)).toEqual(['visit-report']);
  });

  it('makes way for the word of the repair that is booked, which says as much', async () => {
    await found('seized');
    await round(NOW);
    await visit({ kind: 'repair', plannedOn: '2026-06-16' });
    expect(await told()).toEqual([]);
    const [booked] = (await letters()).filter(({ kind }) => kind === 'visit-booked');
    expect(booked?.text).toContain('Please leave the top as it is');
    expect(booked?.text).toContain('The repair is booked for Tuesday, 16 June 2026');
    await round('2026-06-09T09:00:00.000Z');
    expect(await told()).toEqual([]);
  });

  it('makes way for an alarm that waits for the same morning', async () => {
    await found('seized');
    await round(NOW);
    await shop.post(`/v1/cars/${car.carId}/position`, {
      position: 'folded',
      at: '2026-06-01T08:00:00Z',
    });
    const written = await round('2026-06-08T21:30:00.000Z');
    expect(written.map(({ kind }) => kind)).toEqual(['folded-over']);
    expect(await told()).toEqual([]);
  });

  it('is told of to whoever bought the car', async () => {
    await found('seized');
    await round('2026-06-08T10:00:00.000Z');
    await deliverAll(shop);
    const { organisationId } = await shop.context.store.records.car.findFirstOrThrow();
    const buyer = { name: 'Bea Quill', email: 'bea@example.org', language: 'en' };
    await sellCar(shop.context, programCaller(organisationId, 'test'), car.carId, buyer, '*');
    await round('2026-06-08T11:00:00.000Z');
    expect((await told()).map(({ text }) => text.includes('Bea Quill'))).toEqual([false, true]);
  });

  it('is said on the shop’s page of the owner, with the day of the letter', async () => {
    const signedIn = await browse(shop, 'POST', '/sign-in', { key: shop.key });
    const cookie = String(signedIn.headers['set-cookie']).split(';')[0] ?? '';
    const page = async () =>
      (await browse(shop, 'GET', `/owners/${car.ownerId}`, undefined, { cookie })).html;
    await found('seized');
    expect(await page()).toContain('A letter that says so is written by the next round');
    await round('2026-06-08T10:00:00.000Z');
    expect(await page()).toContain('A letter that says so was written for Monday, 8 June 2026');
  });
});
