import { beforeEach, expect, it } from 'vitest';
import { REFERENCES } from '../../src/store/records/import-references.ts';
import type { Caller } from '../../src/usecases/context/context.ts';
import { handIn } from '../../src/usecases/tables/import-runs.ts';
import { takeInRun } from '../../src/usecases/tables/take-in-run.ts';
import { undoRun } from '../../src/usecases/tables/take-back-run.ts';
import { asClub, careDay, CLUB } from '../club/club.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

const NOW = '2026-06-12T09:00:00.000Z';
const HEADER = 'registration,owner name,email,fitted on,frame pattern,material,window';
const TOP = '2025-03-10,two-seat-manual,cloth,glass';

eachDatabase('a table that is taken back', ({ open }) => {
  let shop: Workshop;
  let club: Caller;
  beforeEach(async () => {
    shop = await open(NOW);
    club = await asClub(shop);
    return () => shop.close();
  });

  async function takenIn(line: string): Promise<{ run: string; made: CarAndTop }> {
    const file = { name: 'cars.csv', bytes: Buffer.from(`${HEADER}\n${line}`) };
    const run = await handIn(shop.context, club, file, {});
    const progress = () => undefined;
    await takeInRun(shop.context, club, run, { goodLinesOnly: false, progress });
    const { records } = shop.context.store;
    const registration = line.split(',')[0] ?? '';
    const car = await records.car.findFirstOrThrow({ where: { registration } });
    const top = await records.top.findFirstOrThrow({ where: { carId: car.id } });
    return { run, made: { carId: car.id, ownerId: car.ownerId, topId: top.id } };
  }

  const left = async ({ ownerId, carId, topId }: CarAndTop) => {
    const of = { owners: ownerId, cars: carId, tops: topId };
    const found: string[] = [];
    for (const { table, columns } of REFERENCES) {
      for (const [column, kind] of Object.entries(columns)) {
        const rows = await shop.context.store.sql.all(
          `SELECT * FROM "${table}" WHERE "${column}" = ?`,
          [of[kind]],
        );
        if (rows.length > 0) found.push(table);
      }
    }
    return [...new Set(found)];
  };

  it('leaves nothing behind that names what it made, but who did what', async () => {
    const { run, made } = await takenIn(`FK 1,Ada Quill,ada@example.org,${TOP}`);
    await shop.post('/v1/round', {});
    await linkFor(shop, made.ownerId, 'owner-page');
    expect(await left(made)).toEqual(
      expect.arrayContaining(['letter_occasion', 'letter', 'link', 'pivot', 'top', 'car_kept']),
    );
    await undoRun(shop.context, club, run);
    expect(await left(made)).toEqual(['trail']);
  });

  it('takes back a letter that waits for an owner who was here before, and has the rest written anew', async () => {
    const other = await fitted(shop, { top: { fittedOn: '2025-03-10' } });
    const { run, made } = await takenIn(`FK 2,Ada Quill,ada@example.org,${TOP}`);
    expect(made.ownerId).toBe(other.ownerId);
    await shop.post('/v1/round', {});
    const letters = async () => (await shop.get('/v1/letters?limit=200')).body.items;
    expect(JSON.stringify(await letters())).toContain(made.carId);
    await undoRun(shop.context, club, run);
    expect(await letters()).toEqual([]);
    await shop.post('/v1/round', {});
    const [letter] = await letters();
    expect(letter.carIds).toEqual([other.carId]);
    expect(letter.text).not.toContain('FK 2');
  });

  it('takes back a letter that waits for an owner of the run and names no car, with what it says', async () => {
    const { run } = await takenIn(`FK 2,Ada Quill,ada@example.org,${TOP}`);
    await shop.post('/v1/round', {});
    const { store } = shop.context;
    await store.writeSql((sql) => sql.run('UPDATE "letter_occasion" SET "carId" = NULL'));
    expect(await store.records.letterBody.count()).toBe(1);
    await undoRun(shop.context, club, run);
    expect(await store.records.letter.count()).toBe(0);
    expect(await store.records.letterBody.count()).toBe(0);
  });

  it('is refused once a letter about one of its cars has left, whoever it went to', async () => {
    await fitted(shop);
    const { run } = await takenIn(`FK 2,Ada Quill,ada@example.org,${TOP}`);
    await shop.post('/v1/round', {});
    const { store } = shop.context;
    await store.writeSql((sql) => sql.run(`UPDATE "letter" SET "state" = 'delivered'`));
    await expect(undoRun(shop.context, club, run)).rejects.toThrow('letters have left');
  });

  it('is refused once a car was asked to a care day, or parts were ordered for it', async () => {
    const { run, made } = await takenIn(`FK 1,Ada Quill,ada@example.org,${TOP}`);
    const careDayId = await careDay(shop, club, [{ ...made, registration: 'FK 1' }]);
    await expect(undoRun(shop.context, club, run)).rejects.toThrow(
      'It cannot be taken back any more: cars were asked to a care day (1).',
    );
    const wish = { careDayId, carId: made.carId, part: 'washer', pieces: 2, changedAt: NOW };
    const data = { ...wish, organisationId: club.organisationId };
    await shop.context.store.write(({ records }) => records.partWish.create({ data }));
    await expect(undoRun(shop.context, club, run)).rejects.toThrow('parts were ordered');
    expect(await left(made)).toContain('care_day_place');
  });

  it('is refused once its owner chose what others see, or said what may be written', async () => {
    const { run, made } = await takenIn(`FK 1,Ada Quill,ada@example.org,${TOP}`);
    const link = await linkFor(shop, made.ownerId, 'owner-page');
    const shown = { to: club.organisationId, kind: 'positions', shown: 'yes' };
    const pressed = await browse(shop, 'POST', `${link}/sharing/${made.carId}`, shown);
    expect(pressed.status).toBe(303);
    await expect(undoRun(shop.context, club, run)).rejects.toThrow(
      'It cannot be taken back any more: owners chose what others see (1).',
    );
    const { store } = shop.context;
    const { addressHash } = await store.records.owner.findUniqueOrThrow({
      where: { id: made.ownerId },
    });
    const said = { topic: 'offers', given: true, at: NOW, by: CLUB, words: 'on the telephone' };
    const { organisationId } = club;
    const data = { id: 'said', organisationId, addressHash, ownerId: made.ownerId, ...said };
    await store.write(({ records }) => records.consentEntry.create({ data }));
    await expect(undoRun(shop.context, club, run)).rejects.toThrow('what may be written to them');
  });
});
