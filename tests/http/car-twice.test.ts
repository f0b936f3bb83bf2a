import { afterEach, beforeEach, expect, it } from 'vitest';
import { openDesk, wordsOf } from '../pages/desk.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('a car that is in care already', ({ open }) => {
  let shop: Workshop;
  let ada: CarAndTop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    ada = await fitted(shop);
  });
  afterEach(() => shop.close());

  const add = (ownerId: string, registration: string, more: object = {}) =>
    shop.post('/v1/cars', { ownerId, registration, ...more });
  const cars = async () => (await shop.get('/v1/cars')).body.items.length;

  it('is not added a second time to its owner, however its registration is written', async () => {
    for (const registration of ['FK 1', 'fk-1', ' FK1']) {
      const again = await add(ada.ownerId, registration);
      expect(again.status).toBe(409);
      expect(again.body.errors).toMatchObject([{ pointer: '#/registration' }]);
      expect(again.body.detail).toContain(`GET /v1/cars/${ada.carId}`);
    }
    expect(await cars()).toBe(1);
    expect((await add(ada.ownerId, 'FK 11')).status).toBe(201);
    expect((await add(ada.ownerId, 'FK 1', { another: true })).status).toBe(201);
    // A registration may go on to another owner's car, which a program can know.
    const bo = await shop.post('/v1/owners', { name: 'Bo', email: 'bo@example.org' });
    expect((await add(bo.body.id, 'FK 1')).status).toBe(201);
  });

  it('gives its registration to no other car of its owner', async () => {
    const other = (await add(ada.ownerId, 'FK 2')).body;
    const change = (said: object, id = other.id) =>
      shop.call('PATCH', `/v1/cars/${id}`, said, { 'if-match': '*' });
    for (const registration of ['FK 1', 'fk-1']) {
      const refused = await change({ registration });
      expect(refused.status).toBe(409);
      expect(refused.body.errors).toMatchObject([{ pointer: '#/registration' }]);
      expect(refused.body.detail).toContain(`GET /v1/cars/${ada.carId}`);
    }
    expect((await shop.get(`/v1/cars/${other.id}`)).body.registration).toBe('FK 2');
    // Written in another way it is still its own.
    expect((await change({ registration: 'fk-2' })).status).toBe(200);
    const bo = await shop.post('/v1/owners', { name: 'Bo', email: 'bo@example.org' });
    const bos = (await add(bo.body.id, 'FK 1')).body;
    expect((await change({ ownerId: ada.ownerId }, bos.id)).status).toBe(409);
    expect((await change({ registration: 'FK 1', another: true })).status).toBe(200);
    // What is its own already is no news, whoever else has it.
    expect((await change({ registration: 'fk1', colour: 'green' })).status).toBe(200);
  });

  it('is named on the page of another of its owner, until somebody says that it is another', async () => {
    const { id } = (await add(ada.ownerId, 'FK 2')).body;
    const desk = await openDesk(shop);
    const path = `/cars/${id}/change`;
    const page = await desk.open(path);
    expect(page.html).not.toContain('name="another"');
    const refused = await desk.send(page, path, { registration: 'fk 1' });
    expect(refused.status).toBe(409);
    expect(wordsOf(refused.html)).toContain('FK 1 is in care already');
    expect((await desk.send(refused, path, { another: 'yes' })).status).toBe(303);
    expect((await shop.get(`/v1/cars/${id}`)).body.registration).toBe('fk 1');
  });

  it('is not sold to an owner who has one of its registration, until somebody says that it is another', async () => {
    const bo = await shop.post('/v1/owners', { name: 'Bo', email: 'bo@example.org' });
    const { id } = (await add(bo.body.id, 'fk-1')).body;
    const desk = await openDesk(shop);
    const path = `/cars/${id}/sold`;
    const buyer = { 'owner/name': 'Ada Quill', 'owner/email': 'ada@example.org' };
    const refused = await desk.send(await desk.open(`/cars/${id}/change`), path, buyer);
    expect(refused.status).toBe(409);
    expect(wordsOf(refused.html)).toContain(
      'FK 1 is in care already. If this is another car with the same registration, say so.',
    );
    expect(wordsOf(refused.html)).toContain(
      'It is another car than the one with this registration',
    );
    expect((await shop.get(`/v1/cars/${id}`)).body.ownerId).toBe(bo.body.id);
    const sure = await desk.send(refused, path, { another: 'yes' });
    expect(wordsOf(sure.html)).toContain('Give this car to another owner?');
    expect((await desk.send(sure, path)).status).toBe(303);
    expect((await shop.get(`/v1/cars/${id}`)).body.ownerId).toBe(ada.ownerId);
  });

  it('is added once by two at the same time', async () => {
    const both = await Promise.all([add(ada.ownerId, 'FK 2'), add(ada.ownerId, 'fk2')]);
    expect(both.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([201, 409]);
  });

  it('is named on the page, whosever it is, until somebody says that it is another', async () => {
    const desk = await openDesk(shop);
    const page = await desk.open('/new');
    const said = {
      'owner/name': 'Bo Elm',
      'owner/email': 'bo@example.org',
      registration: 'fk-1',
      fittedOn: '2026-06-01',
      framePattern: 'four-seat-manual',
      'cover/material': 'cloth',
      window: 'glass',
    };
    const refused = await desk.send(page, '/new', said);
    expect(refused.status).toBe(409);
    expect(wordsOf(refused.html)).toContain(
      'FK 1 is in care already as the car of Ada Quill. If it was sold, say so on its page. If this is another car with the same registration, say so.',
    );
    expect(await cars()).toBe(1);
    const taken = await desk.send(refused, '/new', { ...said, another: 'yes' });
    expect(taken.status).toBe(303);
    expect(await cars()).toBe(2);
  });
});
