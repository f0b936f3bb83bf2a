import { afterEach, beforeEach, expect, it } from 'vitest';
import { addDays, mondayOfIsoWeek } from '../../src/domain/calendar/day.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { inBrief, visitLetters } from './told.ts';

eachDatabase('the page behind an offered week', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  /** A top that falls due in July and the weeks offered for it, as its letter gives the links. */
  async function offered(email: string, more: object = {}) {
    const ids = await fitted(shop, {
      owner: { email, ...more },
      top: { fittedOn: '2025-07-10' },
    });
    await shop.post('/v1/diary/plan', { weeks: 12, apply: true });
    const { body } = await shop.get(`/v1/letters?carId=${ids.carId}`);
    const letter = body.items.find(({ kind }: { kind: string }) => kind === 'visit-offered');
    const links = [...letter.text.matchAll(/https:\/\/care\.example\.org(\/b\/\S+)/g)];
    return { ...ids, links: links.map((match) => String(match[1])) };
  }
  const booked = async ({ topId }: CarAndTop) =>
    (await shop.get(`/v1/tops/${topId}/visits`)).body.items.map(
      (visit: { state: string; plannedOn: string }) => [visit.state, visit.plannedOn],
    );
  const weeksOn = (html: string) => [...html.matchAll(/value="(\d{4}-W\d{2})"/g)].map((m) => m[1]);

  it('shows the week and books nothing until it is pressed; pressed twice it is one visit', async () => {
    const ada = await offered('ada@example.org');
    const [link = ''] = ada.links;
    const page = await browse(shop, 'GET', link);
    expect(page.status).toBe(200);
    expect(page.headers).toMatchObject({
      'cache-control': 'no-store',
      'referrer-policy': 'no-referrer',
    });
    expect(weeksOn(page.html)).toHaveLength(3);
    expect(page.html).not.toMatch(/Quill|ada@|<script/);
    expect((await browse(shop, 'HEAD', link)).status).toBe(200);
    expect(await booked(ada)).toEqual([]);
    const week = String(weeksOn(page.html)[0]);
    const done = await browse(shop, 'POST', link, { week });
    expect(done.status).toBe(200);
    expect(done.html).toContain('Your visit is booked');
    expect((await browse(shop, 'POST', link, { week })).status).toBe(200);
    expect((await browse(shop, 'POST', ada.links[1] ?? '', { week })).html).toContain('is booked');
    expect(await booked(ada)).toHaveLength(1);
    // The offer has left for nobody: it ends with the booking, which is told by letter.
    expect(inBrief(await visitLetters(shop, ada.carId))).toEqual([
      'visit-offered cancelled',
      'visit-booked planned',
    ]);
  });

  it('tells the slower of two that the last place is gone, and offers others', async () => {
    const ada = await offered('ada@example.org');
    const bo = await offered('bo@example.org', { name: 'Bo' });
    const week = String(weeksOn((await browse(shop, 'GET', bo.links[0] ?? '')).html)[0]);
    // Between opening the page and pressing, repairs take every day of the week.
    for (let day = 0; day < 7; day += 1) {
      const plannedOn = addDays(mondayOfIsoWeek(week), day);
      await shop.context.store.writeSql((sql) =>
        sql.run(
          `INSERT INTO "visit" ("id", "organisationId", "topId", "carId", "kind", "state", "plannedOn", "minutes", "createdAt") SELECT ?, "organisationId", "id", "carId", 'repair', 'booked', ?, 600, '2026-06-12T09:00:00.000Z' FROM "top" WHERE "id" = ?`,
          [`repair-${day}`, plannedOn, ada.topId],
        ),
      );
    }
    const late = await browse(shop, 'POST', bo.links[0] ?? '', { week });
    expect(late.status).toBe(409);
    expect(late.html).toContain('full by now');
    expect(weeksOn(late.html)).not.toContain(week);
    expect(weeksOn(late.html).length).toBeGreaterThan(0);
    expect(await booked(bo)).toEqual([]);
    const other = await browse(shop, 'POST', bo.links[0] ?? '', {
      week: String(weeksOn(late.html)[0]),
    });
    expect(other.status).toBe(200);
    expect(await booked(bo)).toHaveLength(1);
  });

  it('takes nothing but the weeks that it shows, and opens by no other link', async () => {
    const ada = await offered('ada@example.org');
    const [link = ''] = ada.links;
    const forms: Record<string, string>[] = [{ week: '2027-W20' }, { week: 'x' }, {}];
    for (const form of forms) {
      expect((await browse(shop, 'POST', link, form)).status).toBe(409);
    }
    expect(await booked(ada)).toEqual([]);
    const stop = await linkFor(shop, ada.ownerId, 'stop');
    expect((await browse(shop, 'GET', stop.replace('/u/', '/b/'))).status).toBe(404);
    expect((await browse(shop, 'POST', `${link}x`, { week: '2026-W28' })).status).toBe(404);
  });

  it('speaks German to a German reader, and closes when the car has gone to another', async () => {
    const ada = await offered('ada@example.org', { language: 'de' });
    const [link = ''] = ada.links;
    expect((await browse(shop, 'GET', link)).html).toMatch(/lang="de"[\s\S]*Woche für den Besuch/);
    const bo = await shop.post('/v1/owners', { name: 'Bo', email: 'bo@example.org' });
    await shop.context.store.writeSql((sql) =>
      sql.run('UPDATE "car" SET "ownerId" = ? WHERE "id" = ?', [bo.body.id, ada.carId]),
    );
    expect((await browse(shop, 'GET', link)).status).toBe(404);
  });
});
