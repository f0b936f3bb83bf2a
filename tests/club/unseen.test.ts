import { rmSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { exportInto, exportRecords } from '../../src/usecases/records/export-records.ts';
import { ADVICE } from '../../src/domain/advice/advice-rows.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { actingAs } from '../../src/usecases/context/acting.ts';
import { sellCar } from '../../src/usecases/owners/sell-car.ts';
import { openDesk, wordsOf } from '../pages/desk.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { asClub, CLUB } from './club.ts';

const NOW = '2026-06-12T09:00:00.000Z';
const recordsOf = ({ html }: { html: string }): Record<string, Record<string, string>[]> =>
  JSON.parse(html).records;
const ALARM = /folded-(?:nearing|over|still)/;
const ALARM_IN_WORDS = /folded limit|still folded|folded still/;

eachDatabase('a club, of a member’s top that stands folded', ({ fresh }) => {
  let url: string;
  let shop: Workshop;
  let club: string;
  let ids: CarAndTop;
  let link: string;
  beforeEach(async () => {
    url = await fresh();
    shop = await openWorkshop(NOW, url);
    club = (await asClub(shop)).organisationId;
    ids = await fitted(shop);
    link = await linkFor(shop, ids.ownerId, 'owner-page');
    const folded = { position: 'folded', at: '2026-06-01T09:00:00.000Z' };
    await shop.post(`/v1/cars/${ids.carId}/position`, folded);
  });
  afterEach(() => shop.close());

  const show = (shown: 'yes' | 'no') =>
    browse(shop, 'POST', `${link}/sharing/${ids.carId}`, { to: club, kind: 'positions', shown });
  /** What an answer says before the member shows it, and after. */
  const beforeAndAfter = async (ask: () => Promise<string>): Promise<[string, string]> => {
    const before = await ask();
    expect((await show('yes')).status).toBe(303);
    return [before, await ask()];
  };
  const alarms = () =>
    shop.context.store.sql.all(`SELECT "id" FROM "letter" WHERE "kind" LIKE 'folded-%'`);

  it('is not told by the forecast', async () => {
    const [before, after] = await beforeAndAfter(async () =>
      JSON.stringify((await shop.get('/v1/forecast')).body),
    );
    expect(after).toMatch(ALARM);
    expect(before).not.toMatch(ALARM);
    expect(before).toContain('lubrication');
  });

  it('is not told by the page of coming letters', async () => {
    const desk = await openDesk(shop);
    const [before, after] = await beforeAndAfter(async () =>
      wordsOf((await desk.open('/coming-letters')).html),
    );
    expect(after).toMatch(ALARM_IN_WORDS);
    expect(before).not.toMatch(ALARM_IN_WORDS);
  });

  it('is not told by a dry round', async () => {
    const [before, after] = await beforeAndAfter(async () =>
      JSON.stringify((await shop.post('/v1/round', { dryRun: true })).body),
    );
    expect(after).toMatch(ALARM);
    expect(before).not.toMatch(ALARM);
    expect(JSON.parse(after).planned - JSON.parse(before).planned).toBe(1);
  });

  it('is not told by a round, which writes the alarm to the member nevertheless, nor by its end', async () => {
    const { body } = await shop.post('/v1/round', {});
    expect(JSON.stringify(body)).not.toMatch(ALARM);
    expect(body.planned).toBe(body.letters.length);
    expect(await alarms()).toHaveLength(1);
    // Unfolded meanwhile: what waits is not true any more, and nobody else learns that it was there.
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "position_entry" SET "withdrawnAt" = ? WHERE "carId" = ?`, [NOW, ids.carId]),
    );
    await shop.context.store.writeSql((sql) => sql.run(`UPDATE "car" SET "lookAt" = ?`, [NOW]));
    const dry = () => shop.post('/v1/round', { dryRun: true });
    const hidden = (await dry()).body;
    await show('yes');
    const shown = (await dry()).body;
    expect(shown.cancelledIds.length - hidden.cancelledIds.length).toBe(1);
    expect(shown.cancelled - hidden.cancelled).toBe(1);
  });

  it('is not told by a page that says first which letters follow', async () => {
    await shop.post('/v1/round', {});
    const desk = await openDesk(shop);
    const [before, after] = await beforeAndAfter(async () => {
      const page = await desk.open(`/owners/${ids.ownerId}`);
      const sure = await desk.send(page, `/owners/${ids.ownerId}/erase`);
      return wordsOf(sure.html);
    });
    expect(after).toMatch(ALARM_IN_WORDS);
    expect(before).not.toMatch(ALARM_IN_WORDS);
  });

  it('is not told by the letters that met a fault, nor by the trail', async () => {
    await shop.post('/v1/round', {});
    await shop.context.store.writeSql(async (sql) => {
      await sql.run(`UPDATE "letter" SET "state" = 'failed', "fault" = 'the box is full'`);
      await sql.run(`DELETE FROM "position_entry" WHERE "carId" = ?`, [ids.carId]);
    });
    const desk = await openDesk(shop);
    const [before, after] = await beforeAndAfter(async () => {
      const pages = ['/today', '/trail', `/cars/${ids.carId}`];
      const opened = await Promise.all(pages.map((page) => desk.open(page)));
      const trail = JSON.stringify((await shop.get('/v1/trail?limit=200')).body);
      return opened.map(({ html }) => wordsOf(html)).join(' ') + trail;
    });
    expect(after).toMatch(/Met a fault.*still folded, to Ada Quill/);
    expect(after).toContain('"position":"folded"');
    expect(before).not.toMatch(/still folded|"position":"folded"/);
  });

  it('is in nothing that the club takes out; the operator’s own document stays whole', async () => {
    await shop.post('/v1/round', {});
    const document = async () => {
      let text = '';
      await exportInto(url, NOW, CLUB, (piece) => {
        text += piece;
        return Promise.resolve();
      });
      return text;
    };
    const desk = await openDesk(shop);
    for (const what of ['cars', 'owners', 'tops', 'visits', 'readings']) {
      expect((await desk.post('/export', { what })).html).not.toMatch(/2026-06-01|folded-/);
    }
    const [before, after] = await beforeAndAfter(document);
    const [club_] = JSON.parse(before).organisations;
    expect(club_.cars).toHaveLength(1);
    expect(club_.positionEntries).toEqual([]);
    expect(before).not.toMatch(ALARM);
    expect(before).not.toContain('2026-06-01T09:00:00.000Z');
    for (const text of [after, await whole()]) {
      expect(JSON.parse(text).organisations[0].positionEntries).toHaveLength(1);
      expect(text).toMatch(ALARM);
    }
  });

  it('is in no copy of the member’s data that the club opens, and whole in the member’s own', async () => {
    await shop.post('/v1/round', {});
    const records = await browse(shop, 'GET', `${link}/data.json`).then(recordsOf);
    const entry = records['position_entry']?.[0];
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "position_entry" SET "damp" = ? WHERE "id" = ?`, [1, entry?.['id'] ?? '']),
    );
    const desk = await openDesk(shop);
    const file = () => shop.get(`/v1/owners/${ids.ownerId}/data`).then(({ body }) => body);
    const page = () => desk.open(`/owners/${ids.ownerId}/data`).then(({ html }) => wordsOf(html));
    const hidden = { file: await file(), page: await page() };
    const [download, shown] = await beforeAndAfter(
      async () => (await desk.open(`/owners/${ids.ownerId}/data.json`)).html,
    );
    const tells = /"position":|folded-over|folded-still|2026-06-01T09/;
    for (const text of [JSON.stringify(hidden.file), download]) {
      expect(text).not.toMatch(tells);
      expect(JSON.parse(text).leftOut).toEqual(['positions']);
      expect(JSON.parse(text).records.car).toHaveLength(1);
    }
    expect(hidden.page).toContain('This member has not shown the club where the tops stand.');
    expect(hidden.page).not.toMatch(/\d\d:\d\d; folded|Too long folded/);
    for (const text of [JSON.stringify(await file()), shown]) {
      expect(text).toMatch(tells);
      expect(JSON.parse(text).leftOut).toEqual([]);
    }
    expect(await page()).not.toContain('has not shown the club');
    // 09:00 UTC, by the clock of whose data it is.
    expect(await page()).toContain('10:00; folded');
    await show('no');
    const own = JSON.parse((await browse(shop, 'GET', `${link}/data.json`)).html);
    expect(own.leftOut).toEqual([]);
    for (const table of ['position_entry', 'trail']) {
      expect(JSON.stringify(own.records[table])).toContain(entry?.['id']);
    }
    expect(JSON.stringify(own.records.letter)).toMatch(/folded-(?:over|still)/);
    expect(wordsOf((await browse(shop, 'GET', `${link}/data`)).html)).not.toContain(
      'has not shown',
    );
  });

  it('is in no copy of the data of somebody who sold the car, who cannot show it any more', async () => {
    await show('yes');
    const caller = programCaller(club, 'test');
    const buyer = { name: 'Bob Latch', email: 'bob@example.org' };
    shop.setNow('2026-06-20T09:00:00.000Z');
    await actingAs(shop.context, caller, () =>
      sellCar(shop.context, caller, ids.carId, buyer, '*'),
    );
    const { body } = await shop.get(`/v1/owners/${ids.ownerId}/data`);
    expect([body.leftOut, body.records.position_entry]).toEqual([['positions'], []]);
  });

  it('is not told by the note about a top that went down damp', async () => {
    const damp = { position: 'folded', at: '2026-06-12T08:00:00.000Z', damp: true };
    await shop.post(`/v1/cars/${ids.carId}/position`, {
      position: 'raised',
      at: '2026-06-02T08:00:00.000Z',
    });
    await shop.post(`/v1/cars/${ids.carId}/position`, damp);
    // Whoever refused the alarms gets the note on its own day.
    const stop = await linkFor(shop, ids.ownerId, 'stop', 'folded-limit');
    expect((await browse(shop, 'POST', stop, { 'List-Unsubscribe': 'One-Click' })).status).toBe(
      200,
    );
    await shop.post('/v1/round', {});
    const letters = async () => JSON.stringify((await shop.get('/v1/letters')).body);
    const [before, after] = await beforeAndAfter(letters);
    expect(after).toContain('was folded damp');
    expect(before).not.toContain('damp');
  });

  async function whole(): Promise<string> {
    await show('no');
    const file = join(tmpdir(), `foldkeep-whole-${club}.json`);
    try {
      await exportRecords(url, NOW, { file, organisation: CLUB });
      return readFileSync(file, 'utf8');
    } finally {
      rmSync(file, { force: true });
    }
  }
});

it('knows each care note that nothing but the log of positions makes timely', () => {
  const ofLog = ['folded-damp', 'folded-over-limit', 'cover-not-fitted', 'wet-logged'];
  const alone = ADVICE.filter(
    ({ when }) =>
      when.length > 0 && when.every((w) => w.kind === 'event' && ofLog.includes(w.name)),
  );
  expect(alone.map(({ id }) => id)).toEqual(['folded-damp-raise-today']);
});
