import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';

let shop: Workshop;
let desk: Desk;
const PATH = '/diary/settings';
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
});
afterEach(() => shop.close());
const settings = async () => (await shop.get('/v1/diary/settings')).body;

it('keeps days, hours, a closure, the holidays of a place and the leads', async () => {
  expect((await desk.open('/diary/plan')).html).toContain(`href="${PATH}"`);
  const page = await desk.open(PATH);
  const answer = await desk.send(page, PATH, {
    'open/6': 'yes',
    'open/1': null,
    'hours/6/from': '09:00',
    'hours/6/to': '12:00',
    'closures/1/from': '2026-08-03',
    'closures/1/to': '2026-08-14',
    'closures/1/words': 'summer leave',
    'place/country': 'DE',
    'shopRules/leadDays': '5',
  });
  expect([answer.status, answer.headers.location]).toEqual([303, `${PATH}?done=settings`]);
  expect(await settings()).toMatchObject({
    weekdays: [2, 3, 4, 5, 6],
    hours: { 5: { from: '08:00', to: '17:00' }, 6: { from: '09:00', to: '12:00' } },
    closures: [{ from: '2026-08-03', to: '2026-08-14', words: 'summer leave' }],
    place: { country: 'DE', state: null, region: null },
    takesBookings: true,
  });
  const rules = Object.fromEntries(
    (await settings()).shopRules.map(({ name, value }: { name: string; value: number }) => [
      name,
      value,
    ]),
  );
  expect(rules).toMatchObject({ leadDays: 5, changeDays: 2, minutesPerDay: 480 });
  // Only what was changed is the shop's own figure.
  const own = await shop.context.store.sql.all<{ ownRules: string }>(
    'SELECT "ownRules" FROM "organisation"',
  );
  expect(JSON.parse(own[0]?.ownRules ?? '')).toEqual({ 'bench.leadDays': 5 });
  const kept = await desk.open(`${PATH}?done=settings`);
  expect(wordsOf(kept.html)).toContain('What is booked stays where it is');
  // 3 October is the day of unity by the Einigungsvertrag, article 2, paragraph 2.
  expect(wordsOf(kept.html)).toContain('3 October 2026');
  // Corpus Christi is kept in Bavaria by its Feiertagsgesetz, article 1, and not in all of Germany.
  expect(kept.html).toContain('value="BY"');
  await desk.send(kept, PATH, { 'place/state': 'BY' });
  const days = (await settings()).holidays.map(({ on }: { on: string }) => on);
  expect(days).toContain('2027-05-27');
  expect(days).toHaveLength(new Set(days).size);
});

it('gives back what is wrong, at its field, and what somebody else changed', async () => {
  const page = await desk.open(PATH);
  const wrong = await desk.send(page, PATH, {
    'hours/1/to': '07:00',
    'closures/2/from': '2026-08-14',
    'closures/2/to': '2026-08-03',
    'closures/2/words': 'fair',
  });
  expect(wrong.status).toBe(400);
  expect(wrong.html).toContain('href="#hours-1-to"');
  expect(wrong.html).toContain('href="#closures-2-to"');
  expect(wrong.html).toContain('value="fair"');
  await desk.send(page, PATH, { 'open/6': 'yes' });
  const late = await desk.send(await desk.open(PATH), PATH, { version: '1' });
  expect(late.status).toBe(409);
  expect(wordsOf(late.html)).toContain('Somebody else changed this');
  const nowhere = await desk.send(await desk.open(PATH), PATH, { 'place/country': 'XX' });
  expect(nowhere.html).toContain('href="#place-country"');
});

it('leads from what was found to the booking of its repair', async () => {
  const { topId } = await fitted(shop);
  const repair = `href="/tops/${topId}/booking?kind=repair"`;
  expect((await desk.open(`/tops/${topId}`)).html).not.toContain(repair);
  await shop.post(`/v1/tops/${topId}/visits`, {
    kind: 'look',
    doneOn: '2026-06-12',
    readings: [{ pivot: 'L-LINK1', state: 'loose', oiled: false, axialPlayMm: 0.7 }],
  });
  expect((await desk.open(`/tops/${topId}`)).html).toContain(repair);
  await shop.post(`/v1/tops/${topId}/booking`, { kind: 'repair', on: '2026-07-01' });
  expect((await desk.open(`/tops/${topId}`)).html).not.toContain(repair);
});

it('is asked for on the page of the day until the place is told, where owners choose their days', async () => {
  const WANTED = 'Say where you are';
  const says = async (by: Desk) => wordsOf((await by.open('/today')).html).includes(WANTED);
  expect((await desk.open('/today')).html).toContain(`href="${PATH}#place-country"`);
  expect((await desk.open(PATH)).html).toContain('id="place-country"');
  expect(await says(desk)).toBe(true);
  // Not of somebody who could not say it.
  expect(await says(await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read')))).toBe(
    false,
  );
  await desk.send(await desk.open(PATH), PATH, { takesBookings: null });
  expect(await says(desk)).toBe(false);
  await desk.send(await desk.open(PATH), PATH, { takesBookings: 'yes', 'place/country': 'DE' });
  expect(await says(desk)).toBe(false);
});
