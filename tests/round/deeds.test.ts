import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Caller } from '../../src/usecases/context/context.ts';
import { readCareDayRota, takeOffCareDay } from '../../src/usecases/care-days/care-day-list.ts';
import { callOffCareDay, changeCareDay } from '../../src/usecases/care-days/keep-care-days.ts';
import type { Member } from '../club/club.ts';
import { asClub, careDay, chooseLink, DAY, members, wasOn } from '../club/club.ts';
import { browse } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

interface Letter {
  readonly id: string;
  readonly kind: string;
  readonly state: string;
  readonly subject: string;
  readonly text: string;
}

const NIGHT = '2026-06-11T22:00:00.000Z';

/** What waits about a car, as one text a letter, with the lines of text run together. */
async function waiting(shop: Workshop, carId: string, kind: string): Promise<string[]> {
  const { body } = await shop.get(`/v1/letters?carId=${carId}&limit=200`);
  return (body.items as Letter[])
    .filter((letter) => letter.kind === kind && letter.state === 'planned')
    .map(({ text }) => text.replaceAll(/\s+/g, ' '));
}

const changed = (shop: Workshop, path: string, body: object) =>
  shop.call('PATCH', path, body, { 'if-match': '*' });

eachDatabase('a letter that asks to a care day, while it waits', ({ open }) => {
  let shop: Workshop;
  let secretary: Caller;
  let ada: Member;
  let id: string;
  beforeEach(async () => {
    shop = await open(NIGHT);
    secretary = await asClub(shop);
    ada = (await members(shop, 1))[0] as Member;
    id = await careDay(shop, secretary, [ada]);
  });
  afterEach(() => shop.close());

  const asks = () => waiting(shop, ada.carId, 'care-day-asked');
  const change = async (said: object) => {
    const { day } = await readCareDayRota(shop.context, secretary, id);
    await changeCareDay(shop.context, secretary, id, { ...DAY, ...said }, day.version);
  };

  it('goes no more once its reader said by the link that she does not come', async () => {
    const link = await chooseLink(shop, ada);
    const page = await browse(shop, 'GET', link);
    expect(await asks()).toHaveLength(1);
    await browse(shop, 'POST', link, { was: wasOn(page.html), wish: 'give-back' });
    expect(await asks()).toEqual([]);
    await shop.post('/v1/round');
    expect(await asks()).toEqual([]);
  });

  it('goes no more once the day is called off, or the car is taken off its list', async () => {
    const { places } = await readCareDayRota(shop.context, secretary, id);
    const placeId = places[0]?.id ?? '';
    await takeOffCareDay(shop.context, secretary, { dayId: id, placeId, version: '*' });
    expect(await asks()).toEqual([]);
    const other = await careDay(shop, secretary, [ada], { heldOn: '2026-08-01' });
    expect(await asks()).toHaveLength(1);
    await callOffCareDay(shop.context, secretary, other, '*');
    expect(await asks()).toEqual([]);
  });

  it('names the day, the place and the hours that hold', async () => {
    expect((await asks())[0]).toContain('11 July 2026');
    await change({ heldOn: '2026-07-18' });
    const put = await asks();
    expect(put).toHaveLength(1);
    expect(put[0]).toContain('18 July 2026');
    expect(put[0]).not.toContain('11 July 2026');
    await change({ heldOn: '2026-07-18', place: 'Barn of the other room', until: '11:00' });
    const moved = await asks();
    expect(moved).toHaveLength(1);
    expect(moved[0]).toContain('Barn of the other room');
    expect(moved[0]).toContain('09:00 to 11:00');
    expect(moved[0]).not.toContain('Yard of the sample room');
  });

  it('comes again to who was told of another day and has not answered, not to who declined', async () => {
    const link = await chooseLink(shop, ada);
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "letter" SET "state" = 'delivered'`, []),
    );
    shop.setNow('2026-06-13T10:00:00.000Z');
    await change({ heldOn: '2026-07-18' });
    expect((await asks()).join()).toContain('18 July 2026');
    const page = await browse(shop, 'GET', link);
    await browse(shop, 'POST', link, { was: wasOn(page.html), wish: 'give-back' });
    await change({ heldOn: '2026-07-25' });
    expect(await asks()).toEqual([]);
  });

  it('of a time that was chosen says where to come', async () => {
    const link = await chooseLink(shop, ada);
    const page = await browse(shop, 'GET', link);
    await browse(shop, 'POST', link, { was: wasOn(page.html), time: '09:00' });
    const booked = () => waiting(shop, ada.carId, 'visit-booked');
    const moved = () => waiting(shop, ada.carId, 'visit-moved');
    expect((await booked())[0]).toContain('Yard of the sample room');
    shop.setNow('2026-06-11T22:10:00.000Z');
    await change({ place: 'Barn of the other room' });
    expect(await booked()).toEqual([]);
    const [text, ...more] = await moved();
    expect(text).toContain('Your visit is at another place');
    expect(text).toContain('Barn of the other room');
    expect(more).toEqual([]);
    // Typed anew without another meaning it is no news, and back where she chose it there is none left.
    await change({ place: 'Barn  of the other Room' });
    expect(await moved()).toHaveLength(1);
    await change({ place: 'Yard of the sample room' });
    expect(await moved()).toEqual([]);
    expect((await booked())[0]).toContain('Yard of the sample room');
  });
});

eachDatabase('a letter that waits for its hour', ({ open }) => {
  let shop: Workshop;
  let car: CarAndTop;
  beforeEach(async () => {
    shop = await open(NIGHT);
    car = await fitted(shop, { top: { fittedOn: '2025-06-11' } });
  });
  afterEach(() => shop.close());

  const only = async (kind: string): Promise<string> => {
    await shop.post('/v1/round');
    const all = await waiting(shop, car.carId, kind);
    expect(all).toHaveLength(1);
    return all[0] ?? '';
  };
  const position = (body: object) => shop.post(`/v1/cars/${car.carId}/position`, body);
  const look = (readings: object[]) =>
    shop.post(`/v1/tops/${car.topId}/visits`, { kind: 'look', doneOn: '2026-06-11', readings });

  it('tells the limit of the handbook as it is now', async () => {
    await position({ position: 'folded', at: '2026-06-05T08:00:00Z' });
    expect(await only('folded-over')).toContain('3 days');
    await changed(shop, `/v1/cars/${car.carId}`, { handbook: { foldedLimitDays: 2 } });
    expect(await waiting(shop, car.carId, 'folded-over')).toEqual([]);
    expect(await only('folded-over')).toContain('2 days');
  });

  it('tells the figures of the organisation as they are now', async () => {
    await position({ position: 'folded', at: '2026-06-05T08:00:00Z' });
    expect(await only('folded-over')).toContain('Below 0 °C leave it as it is');
    const figures = { 'foldFloor.clothWithGlass': 4, 'folding.properRestHours': 18 };
    await changed(shop, '/v1/rules/figures', figures);
    expect(await waiting(shop, car.carId, 'folded-over')).toEqual([]);
    const text = await only('folded-over');
    expect(text).toContain('Below 4 °C leave it as it is');
    expect(text).toContain('latched and dry, for 18 hours');
    await changed(shop, '/v1/rules/figures', { 'parts.service': 0.9 });
    expect(await waiting(shop, car.carId, 'folded-over')).toHaveLength(1);
  });

  it('does not ask for the cover of a folded top that its owner has put on since', async () => {
    await position({ position: 'folded', at: '2026-06-05T08:00:00Z', coverOn: false });
    expect(await only('folded-over')).toContain('The cover is not on the folded top');
    await position({ position: 'folded', at: '2026-06-11T21:30:00Z', coverOn: true });
    expect(await only('folded-over')).not.toContain('The cover is not on the folded top');
  });

  it('reckons from how the car is kept now', async () => {
    expect(await only('lubrication-due')).toContain('outdoors');
    await changed(shop, `/v1/cars/${car.carId}`, { keeping: { place: 'dry-garage' } });
    expect(await only('lubrication-due')).toContain('dry garage');
  });

  it('speaks of a motor once the top is known to have one', async () => {
    await position({ position: 'folded', at: '2026-06-05T08:00:00Z' });
    expect(await only('folded-over')).not.toContain('A powered top');
    await changed(shop, `/v1/tops/${car.topId}`, { powered: true });
    expect(await only('folded-over')).toContain('A powered top: keep the switch pressed');
  });

  it('names the joint that is seized by the record as it was put right', async () => {
    await position({ position: 'folded', at: '2026-06-05T08:00:00Z' });
    const { body } = await look([{ pivot: 'R-MAIN', state: 'seized', oiled: false }]);
    expect(await only('folded-over')).toContain('right main pivot: seized');
    await shop.call(
      'PUT',
      `/v1/visits/${body.id}/work`,
      {
        kind: 'look',
        doneOn: '2026-06-11',
        readings: [{ pivot: 'L-MAIN', state: 'seized', oiled: false }],
      },
      { 'if-match': '*' },
    );
    expect(await waiting(shop, car.carId, 'folded-over')).toEqual([]);
    const text = await only('folded-over');
    expect(text).toContain('left main pivot: seized');
    expect(text).not.toContain('right main pivot');
  });

  it('names each joint that is stiff, also in word of a booked visit', async () => {
    await shop.post(`/v1/tops/${car.topId}/visits`, {
      kind: 'repair',
      plannedOn: '2026-07-08',
    });
    await look([{ pivot: 'R-MAIN', state: 'seized', oiled: false }]);
    expect((await waiting(shop, car.carId, 'visit-booked'))[0]).toContain('right main pivot');
    shop.setNow('2026-06-11T22:10:00.000Z');
    await look([{ pivot: 'L-MAIN', state: 'sheared', oiled: false }]);
    const [text, ...more] = await waiting(shop, car.carId, 'visit-booked');
    expect(text).toContain('left main pivot: its pin or bracket is broken');
    expect(more).toEqual([]);
  });

  it('gives the number at which the shop can be rung now', async () => {
    await changed(shop, '/v1/organisation', { phone: '01632 960001' });
    expect(await only('lubrication-due')).toContain('01632 960001');
    await changed(shop, '/v1/organisation', { phone: '01632 960002' });
    const text = await only('lubrication-due');
    expect(text).toContain('01632 960002');
    expect(text).not.toContain('01632 960001');
    await shop.post(`/v1/tops/${car.topId}/visits`, { kind: 'settling', plannedOn: '2026-07-08' });
    expect((await waiting(shop, car.carId, 'visit-booked'))[0]).toContain('01632 960002');
    shop.setNow('2026-06-11T22:10:00.000Z');
    await changed(shop, '/v1/organisation', { phone: '01632 960003' });
    const [booked, ...more] = await waiting(shop, car.carId, 'visit-booked');
    expect(booked).toContain('01632 960003');
    expect(more).toEqual([]);
  });
});
