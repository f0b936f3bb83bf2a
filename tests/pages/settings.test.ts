import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { fieldsIn, openDesk, wordsOf } from './desk.ts';

eachDatabase('the settings on pages', ({ open }) => {
  let shop: Workshop;
  let desk: Desk;
  let car: CarAndTop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    desk = await openDesk(shop);
    car = await fitted(shop, {
      car: {
        registration: 'BY SEA',
        keeping: { place: 'outdoors', salt: 'by-sea', use: 'summer' },
      },
      top: { fittedOn: '2025-12-20' },
    });
  });
  afterEach(() => shop.close());

  const dueOn = async () => (await shop.get(`/v1/tops/${car.topId}`)).body.lubrication.dueOn;

  describe('of the organisation', () => {
    it('are kept, and come back as typed where something is wrong', async () => {
      const page = await desk.open('/settings');
      const wrong = await desk.send(page, '/settings', {
        phone: '01632 960 700',
        'letterHours/from': '20',
        'letterHours/to': '8',
      });
      expect(wrong.status).toBe(400);
      expect(wordsOf(wrong.html)).toContain('The hours end before they begin');
      expect(fieldsIn(wrong.html, '/settings')['phone']).toBe('01632 960 700');
      const kept = await desk.send(wrong, '/settings', {
        'letterHours/from': '9',
        'letterHours/to': '18',
        nightAlarms: 'yes',
      });
      expect([kept.status, kept.headers.location]).toEqual([303, '/settings?done=changed']);
      expect((await shop.get('/v1/organisation')).body).toMatchObject({
        phone: '01632 960 700',
        letterHours: { from: 9, to: 18 },
        nightAlarms: true,
      });
    });

    it('say nothing of a change by others where there was none', async () => {
      for (const url of ['/settings', '/fault-finding', '/new', '/diary/settings']) {
        const { html, status } = await desk.open(url);
        expect([url, status]).toEqual([url, 200]);
        expect(html).not.toContain('Stands here now');
      }
    });

    it('show whoever was second what the first one kept', async () => {
      const page = await desk.open('/settings');
      await desk.send(page, '/settings', { phone: '01632 960 701' });
      const late = { ...fieldsIn(page.html, '/settings'), once: 'another-press', phone: '1' };
      const second = await desk.post('/settings', late);
      expect(second.status).toBe(409);
      expect((await shop.get('/v1/organisation')).body.phone).toBe('01632 960 701');
    });

    it('are shown without a form to a key that only reads', async () => {
      const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
      const { html } = await reader.open('/settings');
      expect(html).not.toContain('action="/settings"');
      expect(wordsOf(html)).toContain('8:00 to 20:00');
    });
  });

  describe('of the figures', () => {
    const figure = 'interval.faultFactor';

    it('say mark and source of each, and offer a field for shop rules alone', async () => {
      const { html } = await desk.open('/settings/figures');
      expect(html).toContain(`name="${figure}"`);
      const fields = [...html.matchAll(/<input id="[^"]*" name="([^"]+)"/g)].map(([, n]) => n);
      const { items } = (await shop.get('/v1/rules')).body;
      const changeable = items
        .flatMap((rule: { figures: { name: string; min: number | null }[] }) => rule.figures)
        .filter(({ min }: { min: number | null }) => min !== null)
        .map(({ name }: { name: string }) => name);
      expect(new Set(fields)).toEqual(new Set(changeable));
      expect(fields).toHaveLength(new Set(fields).size);
    });

    it('are tried first, with the days that would move and the letters that would go', async () => {
      await planRound(shop.context, {});
      const before = await dueOn();
      const page = await desk.open('/settings/figures');
      const action = '/settings/figures/try';
      const once = /name="once" value="([^"]+)"/.exec(page.html)?.[1] ?? '';
      const version = fieldsIn(page.html, action)['version'] ?? '';
      const asked = { once, version, 'interval.shortestMonths': '9' };
      const tried = await desk.post(action, asked);
      const words = wordsOf(tried.html);
      expect(tried.status).toBe(200);
      expect(words).toContain('Nothing is kept yet');
      expect(words).toContain('1 top would be due for oil on another day');
      expect(words).toContain('BY SEA');
      expect(words).toMatch(/\d letters? that wait/);
      expect(await dueOn()).toBe(before);
      const kept = await desk.send(tried, '/settings/figures');
      expect([kept.status, kept.headers.location]).toEqual([303, '/settings/figures?done=changed']);
      expect(await dueOn()).not.toBe(before);
    });

    it.each([
      ['interval.shortestMonths', '900', 'Give a'],
      ['interval.shortestMonths', 'many', 'Give a number, or leave it empty.'],
      ['interval.nothing', '3', 'Nothing was changed yet'],
    ])('refuse %s = %s in words', async (name, value, words) => {
      const page = await desk.open('/settings/figures');
      const { version = '' } = fieldsIn(page.html, '/settings/figures/try');
      const asked = { once: 'one-press-of-it', version, [name]: value };
      const refused = await desk.post('/settings/figures/try', asked);
      expect(refused.status).toBe(400);
      expect(wordsOf(refused.html)).toContain(words);
    });
  });
});
