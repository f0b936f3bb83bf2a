import { afterEach, beforeEach, expect, it } from 'vitest';
import { publicHolidays } from '../../src/usecases/bench/public-holidays.ts';
import { openDesk, wordsOf } from '../pages/desk.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { inBrief, visitLetters } from './told.ts';

eachDatabase('the page behind a link to a visit', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    // A Friday.
    shop = await open('2026-06-12T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  /** A top that falls due in July, and the link of the letter that offers days for it. */
  async function offered(email: string, more: object = {}) {
    const ids = await fitted(shop, {
      owner: { email, ...more },
      top: { fittedOn: '2025-07-10' },
    });
    await shop.post('/v1/diary/plan', { weeks: 12, apply: true });
    const { body } = await shop.get(`/v1/letters?carId=${ids.carId}`);
    const letter = body.items.find(({ text }: { text: string }) => text.includes('/b/'));
    const [, link = ''] = /https:\/\/care\.example\.org(\/b\/\S+)/.exec(letter.text) ?? [];
    return { ...ids, link };
  }
  const visits = async ({ topId }: CarAndTop) =>
    (await shop.get(`/v1/tops/${topId}/visits`)).body.items.map(
      (visit: { state: string; plannedOn: string; dropOffAt: string }) =>
        `${visit.state} ${visit.plannedOn} ${visit.dropOffAt.slice(11, 16)}`,
    );
  const daysOn = (html: string) =>
    [...html.matchAll(/name="day" value="([^"]+)"/g)].map((m) => String(m[1]));
  const wasOn = (html: string) => /name="was" value="([^"]+)"/.exec(html)?.[1] ?? '';
  const press = async (link: string, html: string, more: Record<string, string>) =>
    browse(shop, 'POST', link, { was: wasOn(html), ...more });
  const settings = async (change: object) => {
    const before = await shop.get('/v1/diary/settings');
    const tag = { 'if-match': String(before.headers['etag']) };
    const answer = await shop.call('PATCH', '/v1/diary/settings', change, tag);
    expect(answer.status).toBe(200);
    return answer.body;
  };

  it('tells the shop on its day page what the owner did, and nothing that the shop did itself', async () => {
    const ada = await offered('ada@example.org');
    const desk = await openDesk(shop);
    const today = async () => wordsOf((await desk.open('/today')).html);
    expect(await today()).not.toContain('What owners did');
    const page = await browse(shop, 'GET', ada.link);
    const [first = '', , second = ''] = daysOn(page.html);
    const booked = await press(ada.link, page.html, { day: first });
    expect(await today()).toContain(
      'What owners did FK 1 Ada Quill chose Wednesday, 17 June 2026 at 08:00',
    );
    const moved = await press(ada.link, booked.html, { day: second });
    expect(await today()).toMatch(/FK 1 Ada Quill moved the visit to \w+, \d+ June 2026 at/);
    await press(ada.link, moved.html, { cancel: 'yes' });
    expect(await today()).toMatch(
      /FK 1 Ada Quill cancelled the visit; \w+, \d+ June 2026 is free again/,
    );
    // What the shop books itself is no news to it.
    const before = (await today()).match(/Ada Quill chose/g)?.length;
    await shop.post(`/v1/tops/${ada.topId}/booking`, { on: '2026-06-25' });
    expect((await today()).match(/Ada Quill chose/g)?.length).toBe(before);
    shop.setNow('2026-06-17T09:30:00.000Z');
    expect(await today()).not.toContain('What owners did');
    const stranger = await openDesk(shop, await shop.keyFor('Another Club'));
    expect(wordsOf((await stranger.open('/today')).html)).not.toContain('Ada Quill');
  });

  it('shows days with their times and books nothing until one is pressed, and then once', async () => {
    const ada = await offered('ada@example.org');
    const page = await browse(shop, 'GET', ada.link);
    expect(page.status).toBe(200);
    expect(page.headers).toMatchObject({
      'cache-control': 'no-store',
      'referrer-policy': 'no-referrer',
    });
    // Three weeks are offered; the third working day after this Friday is a Wednesday.
    expect(daysOn(page.html)).toHaveLength(3 + 5 + 5);
    expect(daysOn(page.html)[0]).toBe('2026-06-17T08:00');
    expect(page.html).toContain('bring it at 08:00, ready from 10:00');
    expect(page.html).not.toMatch(/Quill|ada@|<script/);
    expect((await browse(shop, 'HEAD', ada.link)).status).toBe(200);
    expect(await visits(ada)).toEqual([]);
    const day = String(daysOn(page.html)[3]);
    const done = await press(ada.link, page.html, { day });
    expect(done.status).toBe(200);
    expect(done.html).toContain('Your visit is booked');
    expect(done.html).toContain('Bring the car at 08:00. It is ready from 10:00.');
    for (const again of [day, String(daysOn(page.html)[4])]) {
      const second = await press(ada.link, page.html, { day: again });
      expect(second.html).toContain('Nothing was changed by that');
    }
    expect(await visits(ada)).toEqual([`booked ${day.slice(0, 10)} 07:00`]);
    // The offer has left for nobody: it ends with the booking, which is told by letter.
    expect(inBrief(await visitLetters(shop, ada.carId))).toEqual([
      'visit-offered cancelled',
      'visit-booked planned',
    ]);
  });

  it('moves and cancels by the same link, each press once, until two working days before', async () => {
    const ada = await offered('ada@example.org');
    const first = await browse(shop, 'GET', ada.link);
    const [day = '', other = ''] = daysOn(first.html);
    const booked = await press(ada.link, first.html, { day });
    expect(daysOn(booked.html)).not.toContain(day);
    const moved = await press(ada.link, booked.html, { day: other });
    expect(moved.html).toContain('Moved.');
    expect(await press(ada.link, booked.html, { day: daysOn(booked.html)[5] ?? '' })).toMatchObject(
      {
        status: 200,
      },
    );
    expect(await visits(ada)).toEqual([`booked ${other.slice(0, 10)} 07:00`]);
    const gone = await press(ada.link, moved.html, { cancel: 'yes' });
    expect(gone.html).toContain('Cancelled.');
    // Stepping back and pressing an old form again books nothing anew.
    await press(ada.link, first.html, { day });
    expect((await press(ada.link, moved.html, { cancel: 'yes' })).html).toContain('Nothing was');
    expect(await visits(ada)).toEqual([`cancelled ${other.slice(0, 10)} 07:00`]);
    const again = await press(ada.link, gone.html, { day: daysOn(gone.html)[0] ?? '' });
    expect(again.html).toContain('Booked.');
    // Monday 29 June: Friday and Thursday lie between.
    const late = (await visits(ada)).at(-1)?.slice(7, 17) ?? '';
    const limit = /move or cancel the visit here until ([^.]+)\./.exec(again.html)?.[1];
    shop.setNow(`${late}T05:00:00.000Z`);
    const near = await browse(shop, 'GET', ada.link);
    expect(near.html).toContain('too near to be moved');
    expect(daysOn(near.html)).toEqual([]);
    await press(ada.link, again.html, { cancel: 'yes' });
    expect((await visits(ada)).at(-1)).toMatch(/^booked/);
    expect(limit).toMatch(/2026$/);
  });

  it('offers nothing nearer than the lead, and no holiday or closure of the place', async () => {
    // England and Wales keep the last Monday of August: Banking and Financial Dealings Act 1971,
    // schedule 1.
    await settings({ place: { country: 'GB', state: 'ENG' }, weekdays: [1, 2, 3, 4, 5, 6] });
    await settings({ closures: [{ from: '2026-08-25', to: '2026-08-26', words: 'fair' }] });
    shop.setNow('2026-08-20T09:00:00.000Z');
    const ids = await fitted(shop, { top: { fittedOn: '2025-08-25' } });
    const offer = (await shop.get(`/v1/tops/${ids.topId}/offer`)).body;
    const days = offer.days.map(({ on }: { on: string }) => on);
    // Thursday; Friday, Monday and, after the fair, Thursday are working days.
    expect(offer.days[0].on >= '2026-08-27').toBe(true);
    expect(days).not.toContain('2026-08-31');
    const next = await shop.get('/v1/diary?from=2026-08-31&weeks=1');
    expect(next.body.weeks[0].openDays).not.toContain('2026-08-31');
    expect(next.body.weeks[0].closures).toEqual([
      { from: '2026-08-31', to: '2026-08-31', words: 'Summer bank holiday' },
    ]);
    const refused = await shop.post(`/v1/tops/${ids.topId}/booking`, { on: '2026-08-31' });
    expect(refused.status).toBe(400);
    expect(JSON.stringify(refused.body)).toContain('Summer bank holiday');
    await settings({ place: null });
    expect((await shop.post(`/v1/tops/${ids.topId}/booking`, { on: '2026-08-31' })).status).toBe(
      201,
    );
  });

  it('offers no New Year and no Christmas while nobody told where the house stands', async () => {
    const desk = await openDesk(shop);
    const opening = async () => wordsOf((await desk.open('/diary/settings')).html);
    expect(await opening()).toContain(
      'owners are offered neither 1 January nor 25 and 26 December',
    );
    for (const [now, shut] of [
      ['2026-12-10T09:00:00.000Z', ['2026-12-25']],
      ['2026-12-21T09:00:00.000Z', ['2026-12-25', '2027-01-01']],
    ] as const) {
      shop.setNow(now);
      const { topId } = await fitted(shop, { top: { fittedOn: '2025-12-28' } });
      const days = (await shop.get(`/v1/tops/${topId}/offer`)).body.days.map(
        ({ on }: { on: string }) => on,
      );
      expect(days.length).toBeGreaterThan(5);
      for (const day of shut) expect(days).not.toContain(day);
    }
    // Off by law in all these places, as date-holidays has it.
    for (const country of ['GB', 'DE', 'AT', 'CH', 'FR', 'US', 'AU']) {
      const off = await publicHolidays({ country, state: null, region: null }, [2026]);
      const on = off.map((holiday) => holiday.on);
      expect([country, on.includes('2026-01-01'), on.includes('2026-12-25')]).toEqual([
        country,
        true,
        true,
      ]);
    }
    await settings({ place: { country: 'GB', state: 'ENG' } });
    expect(await opening()).not.toContain('25 and 26 December');
  });

  it('tells the slower of two that the last time is gone, and offers others', async () => {
    const ada = await offered('ada@example.org');
    const bo = await offered('bo@example.org', { name: 'Bo' });
    const page = await browse(shop, 'GET', bo.link);
    const [day = ''] = daysOn(page.html);
    // Between opening the page and pressing, a repair takes the whole day.
    await shop.context.store.writeSql((sql) =>
      sql.run(
        `INSERT INTO "visit" ("id", "organisationId", "topId", "carId", "kind", "state", "plannedOn", "minutes", "createdAt") SELECT 'repair', "organisationId", "id", "carId", 'repair', 'booked', ?, 480, '2026-06-12T09:00:00.000Z' FROM "top" WHERE "id" = ?`,
        [day.slice(0, 10), ada.topId],
      ),
    );
    const late = await press(bo.link, page.html, { day });
    expect(late.status).toBe(409);
    expect(late.html).toContain('taken by now');
    expect(daysOn(late.html)).not.toContain(day);
    expect(await visits(bo)).toEqual([]);
    const other = await press(bo.link, late.html, { day: String(daysOn(late.html)[0]) });
    expect(other.status).toBe(200);
    expect(await visits(bo)).toHaveLength(1);
  });

  it('takes nothing but the days that it shows, and opens by no other link', async () => {
    const ada = await offered('ada@example.org');
    const { html } = await browse(shop, 'GET', ada.link);
    for (const day of ['2027-05-20T08:00', '2026-06-13T08:00', 'x', '']) {
      expect((await press(ada.link, html, { day })).status).toBe(409);
    }
    expect((await browse(shop, 'POST', ada.link, {})).html).toContain('Nothing was changed');
    expect(await visits(ada)).toEqual([]);
    const stop = await linkFor(shop, ada.ownerId, 'stop');
    expect((await browse(shop, 'GET', stop.replace('/u/', '/b/'))).status).toBe(404);
    expect((await browse(shop, 'POST', `${ada.link}x`, { day: '2026-07-01' })).status).toBe(404);
  });

  it('shows no days while the top must not be moved, and those of its repair', async () => {
    const ada = await offered('ada@example.org');
    await shop.post(`/v1/tops/${ada.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-12',
      readings: [{ pivot: 'L-MAIN', state: 'seized', oiled: false }],
    });
    const page = await browse(shop, 'GET', ada.link);
    expect(page.html).toContain('leave the top as it is');
    expect(daysOn(page.html)).toEqual([]);
    const repair = await shop.post(`/v1/tops/${ada.topId}/booking`, {
      kind: 'repair',
      on: '2026-07-06',
    });
    expect(repair.status).toBe(201);
    const letters = await visitLetters(shop, ada.carId);
    const letter = letters.findLast(({ kind }) => kind === 'visit-booked');
    const [, link = ''] = /https:\/\/care\.example\.org(\/b\/\S+)/.exec(letter?.text ?? '') ?? [];
    const own = await browse(shop, 'GET', link);
    expect(own.html).toContain('Monday, 6 July 2026');
    expect(daysOn(own.html).length).toBeGreaterThan(3);
    const moved = await press(link, own.html, { day: String(daysOn(own.html)[0]) });
    expect(moved.html).toContain('Moved.');
  });

  it('speaks German to a German reader, and closes when the car has gone to another', async () => {
    const ada = await offered('ada@example.org', { language: 'de' });
    expect((await browse(shop, 'GET', ada.link)).html).toMatch(
      /lang="de"[\s\S]*Tag für den Besuch/,
    );
    const bo = await shop.post('/v1/owners', { name: 'Bo', email: 'bo@example.org' });
    await shop.context.store.writeSql((sql) =>
      sql.run('UPDATE "car" SET "ownerId" = ? WHERE "id" = ?', [bo.body.id, ada.carId]),
    );
    expect((await browse(shop, 'GET', ada.link)).status).toBe(404);
  });
});
