import { afterEach, beforeEach, expect, it } from 'vitest';
import { placeByHand, readCareDayRota } from '../../src/usecases/care-days/care-day-list.ts';
import type { Caller } from '../../src/usecases/context/context.ts';
import { comer } from '../people/comers.ts';
import { fieldsIn, wordsOf } from '../pages/desk.ts';
import { browse } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import type { Member } from './club.ts';
import { asClub, careDay, members } from './club.ts';

const BEFORE = '2026-07-10T09:00:00.000Z';
const ON_THE_DAY = '2026-07-11T08:00:00.000Z';
const AFTER = '2026-07-12T08:00:00.000Z';
const OWN = { origin: 'https://care.example.org', 'sec-fetch-site': 'same-origin' };

eachDatabase('a volunteer at the bench of a care day', ({ open }) => {
  let shop: Workshop;
  let club: Caller;
  let all: Member[];
  let day: string;
  let work: string;
  let other: string;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    club = await asClub(shop);
    all = await members(shop, 2);
    day = await careDay(shop, club, all);
    const { places } = await readCareDayRota(shop.context, club, day);
    const [first, second] = all.map((one) => places.find(({ carId }) => carId === one.carId));
    const named = { dayId: day, placeId: first?.id ?? '', version: '*' as const };
    await placeByHand(shop.context, club, named, { start: 9 * 60 });
    work = `/care-day/${day}/places/${first?.id}/work`;
    other = `/care-day/${day}/places/${second?.id}/work`;
  });
  afterEach(() => shop.close());

  // A session ends unused after twelve hours, so on another day it is another sign-in.
  const asVolunteer = async (email = 'vera@example.org') => {
    const { cookie } = await comer(shop, 'volunteer', email, club.organisationId);
    const headers = { cookie, ...OWN };
    return {
      open: (path: string) => browse(shop, 'GET', path, undefined, { cookie }),
      send: (html: string, changes: Record<string, string>) =>
        browse(shop, 'POST', work, { ...fieldsIn(html, work), ...changes }, headers),
    };
  };
  const visits = async (member: Member | undefined) =>
    (await shop.get(`/v1/tops/${member?.topId}/visits`)).body.items;
  const stiff = (html: string, code: string, state = 'stiff') => {
    const [, row = ''] =
      new RegExp(`name="readings/(\\d+)/pivot" value="${code}"`).exec(html) ?? [];
    return { [`readings/${row}/state`]: state };
  };

  it('writes down what was found that day, puts it right, and stands in the trail', async () => {
    shop.setNow(ON_THE_DAY);
    const vera = await asVolunteer();
    const rota = await vera.open(`/care-day/${day}`);
    expect(rota.html).toContain(`href="${work}"`);
    const { html } = await vera.open(work);
    // No way to any other page, and nobody's name.
    expect([...html.matchAll(/href="([^"]*)"/g)].map((m) => String(m[1]))).not.toContainEqual(
      expect.stringMatching(/^\/(?:tops|cars|owners|visits|today)/),
    );
    expect(html).not.toMatch(/Number-1|member1@/);
    const sent = await vera.send(html, { others: 'oiled', ...stiff(html, 'L-LINK1') });
    expect(sent.headers.location).toBe(`/care-day/${day}?done=recorded`);
    const [done] = await visits(all[0]);
    expect(done).toMatchObject({ state: 'done', doneOn: '2026-07-11' });
    expect(done.readings).toContainEqual(
      expect.objectContaining({ pivot: 'L-LINK1', state: 'stiff', oiled: true }),
    );
    const line = await vera.open(`/care-day/${day}?done=recorded`);
    expect(wordsOf(line.html)).toContain('Written down, with your name.');
    const again = await vera.open(work);
    const right = { ...stiff(again.html, 'L-LINK1', 'free'), ...stiff(again.html, 'R-LINK1') };
    expect((await vera.send(again.html, right)).status).toBe(303);
    const [corrected] = await visits(all[0]);
    const states = Object.fromEntries(
      corrected.readings.map((one: { pivot: string; state: string }) => [one.pivot, one.state]),
    );
    expect(states).toMatchObject({ 'L-LINK1': 'free', 'R-LINK1': 'stiff' });
    expect(await visits(all[0])).toHaveLength(1);
    const { body } = await shop.get(`/v1/trail?limit=50`);
    const own = body.items.filter(({ kind }: { kind: string }) => kind === 'visit');
    expect(own[0]).toMatchObject({ authorName: 'The volunteer' });
  });

  it('writes nothing down on another day, of another car, or as of another day', async () => {
    shop.setNow(BEFORE);
    const early = await asVolunteer('early@example.org');
    const before = await visits(all[0]);
    expect((await early.open(work)).status).toBe(409);
    expect((await early.open(`/care-day/${day}`)).html).not.toContain(work);
    shop.setNow(ON_THE_DAY);
    const vera = await asVolunteer();
    const { html } = await vera.open(work);
    const none = await vera.open(other);
    expect([none.status, wordsOf(none.html)]).toEqual([
      409,
      expect.stringContaining('This car has no time on this day.'),
    ]);
    const wrong = await vera.send(html, { doneOn: '2026-07-10' });
    expect([wrong.status, wordsOf(wrong.html)]).toEqual([
      400,
      expect.stringContaining('This is for the care day'),
    ]);
    shop.setNow(AFTER);
    const late = await asVolunteer('late@example.org');
    expect((await late.open(work)).status).toBe(409);
    const sent = await late.send(html, {});
    expect([sent.status, wordsOf(sent.html)]).toEqual([
      400,
      expect.stringContaining('it is written down on the day itself'),
    ]);
    expect(await visits(all[0])).toEqual(before);
    const fitter = await comer(shop, 'fitter', 'finn@example.org', club.organisationId);
    const opened = await browse(shop, 'GET', work, undefined, { cookie: fitter.cookie });
    expect(opened.status).toBe(200);
  });

  it('belongs to one club alone', async () => {
    shop.setNow(ON_THE_DAY);
    const elsewhere = await shop.keyFor('Another Shop');
    shop.key = elsewhere;
    const { id } = await shop.context.store.records.organisation.findFirstOrThrow({
      where: { name: 'Another Shop' },
    });
    const { cookie } = await comer(shop, 'volunteer', 'zoe@example.org', id);
    expect((await browse(shop, 'GET', work, undefined, { cookie })).status).toBe(404);
  });
});
