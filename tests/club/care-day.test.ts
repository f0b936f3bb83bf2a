import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Caller } from '../../src/usecases/context/context.ts';
import { readCareDayRota } from '../../src/usecases/care-days/care-day-list.ts';
import { callOffCareDay, changeCareDay } from '../../src/usecases/care-days/keep-care-days.ts';
import { inBrief, visitLetters } from '../calendar/told.ts';
import { fieldsIn, openDesk, wordsOf } from '../pages/desk.ts';
import { browse } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import type { Member } from './club.ts';
import { asClub, careDay, chooseLink, DAY, members, timesOn, wasOn } from './club.ts';

eachDatabase('a care day', ({ open }) => {
  let shop: Workshop;
  let secretary: Caller;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    secretary = await asClub(shop);
  });
  afterEach(() => shop.close());

  const rotaOf = async (id: string) => {
    const { places, posts } = await readCareDayRota(shop.context, secretary, id);
    const nameOf = (of: string) => places.find((one) => one.id === of)?.registration;
    return posts.map((post) => ({ ...post, car: nameOf(post.id) }));
  };
  const press = async (link: string, html: string, more: Record<string, string>) =>
    browse(shop, 'POST', link, { was: wasOn(html), ...more });
  const letterKinds = async ({ carId }: Member) =>
    (await shop.get(`/v1/letters?carId=${carId}&limit=200`)).body.items.map(
      ({ kind, state }: { kind: string; state: string }) => `${kind} ${state}`,
    );

  it('asks by a letter whose link shows free times, and fixes one by one press and only once', async () => {
    const [ada] = (await members(shop, 1)) as [Member];
    const id = await careDay(shop, secretary, [ada]);
    expect(await letterKinds(ada)).toEqual(['care-day-asked planned']);
    const link = await chooseLink(shop, ada);
    const page = await browse(shop, 'GET', link);
    expect(page.headers).toMatchObject({ 'cache-control': 'no-store' });
    expect(page.html).not.toMatch(/Number-1|member1@|<script/);
    expect(timesOn(page.html)).toEqual([
      '09:00',
      '09:15',
      '09:30',
      '09:45',
      '10:00',
      '10:45',
      '11:00',
      '11:15',
      '11:30',
    ]);
    expect(await rotaOf(id)).toEqual([]);
    const done = await press(link, page.html, { time: '10:45' });
    expect(wordsOf(done.html)).toContain('We expect CLUB 1 at 10:45. It takes about 30 minutes.');
    for (const again of ['10:45', '09:00']) {
      const second = await press(link, page.html, { time: again });
      expect(second.html).toContain('Nothing was changed by that');
    }
    expect(await rotaOf(id)).toMatchObject([{ car: 'CLUB 1', start: 645, bench: 1 }]);
    // The question was answered before it left; what is agreed is told with a calendar object.
    expect(await letterKinds(ada)).toEqual(['care-day-asked cancelled', 'visit-booked planned']);
    const [told] = await visitLetters(shop, ada.carId);
    expect(told?.text).toContain('11 July 2026');
    expect(told?.text).toMatch(/care\.example\.org\/d\//);
  });

  it('moves and gives back by the link of either letter, until the day before', async () => {
    const [ada] = (await members(shop, 1)) as [Member];
    const id = await careDay(shop, secretary, [ada]);
    const asked = await chooseLink(shop, ada);
    await press(asked, (await browse(shop, 'GET', asked)).html, { time: '09:00' });
    const told = await chooseLink(shop, ada);
    expect(told).not.toBe(asked);
    const moved = await press(told, (await browse(shop, 'GET', told)).html, { time: '11:30' });
    expect(moved.html).toContain('Moved.');
    expect(await rotaOf(id)).toMatchObject([{ start: 690 }]);
    const back = await press(asked, (await browse(shop, 'GET', asked)).html, {
      wish: 'give-back',
    });
    expect(back.html).toContain('Given back.');
    expect(await rotaOf(id)).toEqual([]);
    // None of them had left yet: of a visit that came and went nobody has to be told.
    expect(inBrief(await visitLetters(shop, ada.carId))).not.toContain('visit-booked planned');
    shop.setNow('2026-07-11T06:00:00.000Z');
    const late = await browse(shop, 'GET', asked);
    expect(timesOn(late.html)).toEqual([]);
    expect(late.html).toContain('It is too late');
  });

  it('gives the last time to one of many who press at once, whichever is quicker', async () => {
    const all = await members(shop, 6);
    const id = await careDay(shop, secretary, all, { until: '10:30', breaks: [] });
    const links = await Promise.all(all.map((one) => chooseLink(shop, one)));
    const pages = await Promise.all(links.map((link) => browse(shop, 'GET', link)));
    const answers = await Promise.all(
      links.map((link, i) => press(link, pages[i]?.html ?? '', { time: '09:00' })),
    );
    expect(answers.filter(({ status }) => status === 200)).toHaveLength(2);
    expect(answers.filter(({ status }) => status === 409)).toHaveLength(4);
    const rota = await rotaOf(id);
    expect(rota.map(({ bench }) => bench)).toEqual([1, 2]);
    expect(new Set(rota.map(({ helperId }) => helperId)).size).toBe(2);
  });

  it('keeps its capacity whatever many choose, move and give back at once', async () => {
    const all = await members(shop, 8);
    const id = await careDay(shop, secretary, all);
    const links = await Promise.all(all.map((one) => chooseLink(shop, one)));
    for (let round = 0; round < 4; round += 1) {
      await Promise.all(
        links.map(async (link, i) => {
          const { html } = await browse(shop, 'GET', link);
          const times = timesOn(html);
          const wish: Record<string, string> =
            (i + round) % 4 === 0
              ? { wish: 'give-back' }
              : { time: times[(i * 3 + round) % Math.max(1, times.length)] ?? '' };
          const { status } = await press(link, html, wish);
          expect([200, 409]).toContain(status);
        }),
      );
      const rota = await rotaOf(id);
      expect(rota.length).toBeGreaterThan(0);
      expect((await readCareDayRota(shop.context, secretary, id)).unkept).toEqual([]);
      for (const [i, one] of rota.entries()) {
        for (const other of rota.slice(i + 1)) {
          if (other.start >= one.end || one.start >= other.end) continue;
          expect([other.bench === one.bench, other.helperId === one.helperId]).toEqual([
            false,
            false,
          ]);
        }
      }
    }
  });
  it('has a line when it is full, and asks the first of it when a time comes free', async () => {
    const all = await members(shop, 4);
    const said = { until: '10:00', breaks: [], benches: 1, poweredMinutes: 30 };
    const id = await careDay(shop, secretary, all, said);
    const links = await Promise.all(all.map((one) => chooseLink(shop, one)));
    const at = async (i: number, more: Record<string, string>) => {
      const link = links[i] ?? '';
      return press(link, (await browse(shop, 'GET', link)).html, more);
    };
    expect((await at(2, { wish: 'wait' })).status).toBe(409);
    await at(0, { time: '09:00' });
    await at(1, { time: '09:30' });
    const full = await browse(shop, 'GET', links[2] ?? '');
    expect(timesOn(full.html)).toEqual([]);
    expect(full.html).toContain('Put me on the waiting list');
    await at(2, { wish: 'wait' });
    shop.setNow('2026-06-12T10:00:00.000Z');
    await at(3, { wish: 'wait' });
    expect((await browse(shop, 'GET', links[3] ?? '')).html).toContain('one car stands before');
    shop.setNow('2026-06-14T10:00:00.000Z');
    await at(0, { wish: 'give-back' });
    const [, , third, fourth] = all as [Member, Member, Member, Member];
    const asks = (kinds: string[]) => kinds.filter((one) => one.startsWith('care-day-asked'));
    expect(asks(await letterKinds(third))).toHaveLength(2);
    expect(asks(await letterKinds(fourth))).toHaveLength(1);
    expect((await at(2, { time: '09:00' })).status).toBe(200);
    expect((await rotaOf(id)).map(({ car }) => car)).toEqual(['CLUB 3', 'CLUB 2']);
  });

  it('asks no car to be driven whose top must not be moved, and gives it no time', async () => {
    const [ada, bob] = (await members(shop, 2)) as [Member, Member];
    await shop.post(`/v1/tops/${bob.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-11',
      readings: [{ pivot: 'L-MAIN', state: 'seized', oiled: false }],
    });
    const id = await careDay(shop, secretary, [ada, bob]);
    expect((await letterKinds(bob)).join()).not.toContain('care-day');
    const desk = await openDesk(shop);
    const page = wordsOf((await desk.open(`/care-day/${id}`)).html);
    expect(page).toContain('CLUB 2, Member Number-2: its top must not be moved');
    // One that seizes after it was asked is told to stay.
    const link = await chooseLink(shop, ada);
    await shop.post(`/v1/tops/${ada.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-11',
      readings: [{ pivot: 'L-MAIN', state: 'seized', oiled: false }],
    });
    expect((await letterKinds(ada)).join()).toContain('care-day-asked cancelled');
    const stays = await browse(shop, 'GET', link);
    expect(timesOn(stays.html)).toEqual([]);
    expect(wordsOf(stays.html)).toContain('please do not drive here');
  });

  it('is kept on its page: placed by hand, put off with a letter, called off', async () => {
    const all = await members(shop, 3);
    const [ada] = all as [Member];
    const id = await careDay(shop, secretary, all);
    const desk = await openDesk(shop);
    const page = await desk.open(`/care-day/${id}`);
    const [placeId = ''] =
      new RegExp(`/care-day/${id}/places/([\\w-]+)"`).exec(page.html)?.slice(1) ?? [];
    const form = `/care-day/${id}/places/${placeId}`;
    const hand = { start: '09:30', bench: '2' };
    const otherWindow = await desk.open(`/care-day/${id}`);
    const sure = await desk.send(page, form, hand);
    expect(wordsOf(sure.html)).toContain('Will be sent: word of a booked visit');
    const came = await desk.send(sure, form);
    expect(came.headers.location).toBe(`/care-day/${id}?done=placed`);
    expect(await rotaOf(id)).toMatchObject([{ start: 570, bench: 2 }]);
    // Somebody else had the page open all the while: both are shown.
    const second = await desk.send(otherWindow, form, { start: '11:00', bench: '', sure: 'yes' });
    expect(second.status).toBe(409);
    expect(wordsOf(second.html)).toContain('Stands here now');
    expect(await rotaOf(id)).toMatchObject([{ start: 570, bench: 2 }]);

    const { day } = await readCareDayRota(shop.context, secretary, id);
    const off = { ...DAY, heldOn: '2026-07-18' };
    await changeCareDay(shop.context, secretary, id, off, day.version);
    expect(await rotaOf(id)).toMatchObject([{ start: 570, bench: 2 }]);
    const moved = (await shop.get(`/v1/tops/${ada.topId}/visits`)).body.items;
    expect(moved.map((one: { plannedOn: string }) => one.plannedOn)).toEqual(['2026-07-18']);
    await callOffCareDay(shop.context, secretary, id, '*');
    expect(await rotaOf(id)).toEqual([]);
    expect((await desk.open(`/care-day/${id}`)).html).toContain('This care day is called off.');
  });

  it('names a car that nobody can take once a helper falls away', async () => {
    const all = await members(shop, 2);
    const id = await careDay(shop, secretary, all);
    for (const one of all) {
      const link = await chooseLink(shop, one);
      await press(link, (await browse(shop, 'GET', link)).html, { time: '09:00' });
    }
    const { day } = await readCareDayRota(shop.context, secretary, id);
    const fewer = { ...DAY, helpers: [{ name: 'Ann Rivet' }] };
    await changeCareDay(shop.context, secretary, id, fewer, day.version);
    expect((await rotaOf(id)).map(({ car }) => car)).toEqual(['CLUB 1']);
    const desk = await openDesk(shop);
    expect(wordsOf((await desk.open(`/care-day/${id}`)).html)).toContain(
      'CLUB 2 at 09:00: no bench or nobody is free for it.',
    );
  });

  it('takes what was found by the form of visits, and shows the car as done', async () => {
    const [ada] = (await members(shop, 1)) as [Member];
    const id = await careDay(shop, secretary, [ada]);
    const link = await chooseLink(shop, ada);
    await press(link, (await browse(shop, 'GET', link)).html, { time: '09:00' });
    shop.setNow('2026-07-11T09:00:00.000Z');
    const desk = await openDesk(shop);
    const rota = await desk.open(`/care-day/${id}`);
    const [form = ''] = /href="(\/visits\/[\w-]+\/done)"/.exec(rota.html)?.slice(1) ?? [];
    const page = await desk.open(form);
    expect(page.status).toBe(200);
    const done = await desk.send(page, form, { doneOn: '2026-07-11' });
    expect(done.status).toBe(303);
    const after = wordsOf((await desk.open(`/care-day/${id}`)).html);
    expect(after).toMatch(/CLUB 1.*done/);
  });

  it('orders for members what they asked for by their links, beside what the day needs', async () => {
    const all = await members(shop, 2);
    const [ada, bob] = all as [Member, Member];
    const id = await careDay(shop, secretary, all);
    const [first, second] = [await chooseLink(shop, ada), await chooseLink(shop, bob)];
    const order = async (link: string, more: Record<string, string>) =>
      press(link, (await browse(shop, 'GET', link)).html, { order: 'yes', ...more });
    expect((await order(first, { oil: '2', proofer: '1' })).html).toContain('Your order stands');
    await order(second, { oil: '3' });
    // Said anew it replaces what was said; what is no number orders nothing.
    await order(second, { oil: '1', proofer: 'all', cover: '1' });
    await press(first, (await browse(shop, 'GET', first)).html, { time: '09:00' });
    const desk = await openDesk(shop);
    const page = wordsOf((await desk.open(`/care-day/${id}/order`)).html);
    expect(page).toContain('One car has a time.');
    expect(page).toMatch(/light oil small bottle \d+ \d+ 3 [3-9]/);
    expect(page).toContain('Member Number-1, CLUB 1 2 × light oil');
    expect(page).toContain('Member Number-2, CLUB 2 1 × light oil');
    expect(page).not.toContain('cover for one car');
    shop.setNow('2026-07-11T09:00:00.000Z');
    const late = await order(second, { oil: '9' });
    expect(late.html).toContain('Nothing was changed by that');
  });

  it('says what came of it, car by car', async () => {
    const all = await members(shop, 2);
    const [ada, bob] = all as [Member, Member];
    const id = await careDay(shop, secretary, all);
    for (const [one, time] of [
      [ada, '09:00'],
      [bob, '09:30'],
    ] as const) {
      const link = await chooseLink(shop, one);
      await press(link, (await browse(shop, 'GET', link)).html, { time });
    }
    shop.setNow('2026-07-11T12:00:00.000Z');
    const visit = await shop.post(`/v1/tops/${ada.topId}/visits`, {
      kind: 'lubrication',
      doneOn: '2026-07-11',
      readings: [
        { pivot: 'L-MAIN', state: 'dry', oiled: true },
        { pivot: 'R-MAIN', state: 'free', oiled: true, washersPresent: 0 },
      ],
      findings: [{ text: 'tailgate seal gone' }],
    });
    const desk = await openDesk(shop);
    const page = wordsOf((await desk.open(`/care-day/${id}/result`)).html);
    expect(page).toContain('Cars looked after 1 Joints oiled 2');
    expect(page).toMatch(
      /CLUB 1 2 joints oiled found: 1 dry washers missing: \d tailgate seal gone/,
    );
    expect(page).toMatch(/Nothing written down yet: say whether it came CLUB 2/);
    const { html } = await desk.open(`/care-day/${id}/result`);
    const href = /href="(\/visits\/[\w-]+)">CLUB 2</.exec(html)?.[1] ?? '';
    expect((await desk.open(href)).status).toBe(200);
    const record = await desk.open(`/visits/${visit.body.id}/record?done=visit`);
    expect(record.html).toContain(
      `href="/care-day/${id}">The care day of Saturday, 11 July 2026</a>`,
    );
    const draft = await desk.send(
      await desk.open(`/care-day/${id}/result`),
      `/care-day/${id}/letter`,
    );
    expect(draft.status).toBe(303);
    const letter = await desk.open(String(draft.headers['location']));
    const typed = fieldsIn(letter.html, String(draft.headers['location']).split('?')[0] ?? '');
    expect(typed['subject']).toBe('What came of our care day on Saturday, 11 July 2026');
    expect(typed['text']).toMatch(
      /^1 car was looked after on our care day on Saturday, 11 July 2026 \(Yard of the sample room\)\.\s+2 joints were oiled\. \d spacer washers? (?:was|were) missing\. 1 fault was noted\.\s+What was found/,
    );
    // What was found is the member's own; a draft goes to nobody.
    expect(JSON.stringify(typed)).not.toMatch(/CLUB|Member|seal/);
    expect(inBrief(await visitLetters(shop, bob.carId))).not.toContain('club-letter');
  });

  it('is spoken of as gone by, once it is', async () => {
    const all = await members(shop, 2);
    const [ada] = all as [Member];
    const id = await careDay(shop, secretary, all);
    const link = await chooseLink(shop, ada);
    await press(link, (await browse(shop, 'GET', link)).html, { time: '09:00' });
    const before = wordsOf((await (await openDesk(shop)).open(`/care-day/${id}`)).html);
    expect(before).toContain('Have a time CLUB 1');
    expect(before).toContain('Asked, no answer yet CLUB 2');
    shop.setNow('2026-07-12T08:00:00.000Z');
    const after = wordsOf((await (await openDesk(shop)).open(`/care-day/${id}`)).html);
    expect(after).toContain('Had a time: not said whether they came CLUB 1');
    expect(after).toContain('Asked, never answered CLUB 2');
    expect(after).not.toContain('no answer yet');
  });

  it('is nobody else’s to see', async () => {
    const [ada] = (await members(shop, 1)) as [Member];
    const id = await careDay(shop, secretary, [ada]);
    const other = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops'));
    for (const path of [`/care-day/${id}`, `/care-day/${id}/change`]) {
      expect((await other.open(path)).status).toBe(404);
    }
    for (const [path, fields] of [
      [`/care-day/${id}/call-off`, { version: '2' }],
      [`/care-day/${id}/ask`, { [`car-${ada.carId}`]: 'yes' }],
      [`/care-day/${id}/fill`, {}],
    ] as const) {
      const answer = await other.post(path, { once: 'abcdefgh12', sure: 'yes', ...fields });
      expect([path, answer.status]).toEqual([path, 404]);
    }
  });
});
