import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { browse, linkFor, wholeDatabase } from './link-for.ts';

let shop: Workshop;
let ada: CarAndTop;
let path: string;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  ada = await fitted(shop, { top: { fittedOn: '2025-06-10' } });
  path = await linkFor(shop, ada.ownerId, 'owner-page');
});
afterEach(() => shop.close());

const text = (html: string) =>
  html
    .replaceAll(/<(style|title)[^>]*>.*?<\/\1>/gs, ' ')
    .replaceAll(/<[^>]+>/g, ' ')
    .replaceAll(/\s+/g, ' ');
const log = async (carId = ada.carId) =>
  (await shop.get(`/v1/cars/${carId}/position-log`)).body.items;
const press = (form: Record<string, string>, at = `${path}/cars/${ada.carId}/position`) =>
  browse(shop, 'POST', at, form);

describe('the owner’s page', () => {
  it('says where the top is and how long is left, and changes nothing by being opened', async () => {
    await shop.post(`/v1/cars/${ada.carId}/position`, {
      position: 'folded',
      at: '2026-06-11T13:00:00Z',
    });
    const before = await wholeDatabase(shop);
    const { status, html, headers } = await browse(shop, 'GET', path);
    expect(status).toBe(200);
    // Three days from Thursday 14:00 in London end on Sunday 14:00; it is Friday 10:00.
    expect(text(html)).toContain('2 days 4 hours left until Sunday 14:00');
    expect(html).toContain('<title>Your top</title>');
    expect(headers['content-security-policy']).toContain("default-src 'none'");
    expect(html).not.toContain('<script');
    expect((await browse(shop, 'HEAD', path)).status).toBe(200);
    expect((await browse(shop, 'GET', `${path}/card`)).status).toBe(200);
    expect(await wholeDatabase(shop)).toBe(before);
  });

  it('keeps the count still while the top is up for less than twelve hours', async () => {
    for (const [position, at] of [
      ['folded', '2026-06-11T13:00:00Z'],
      ['raised', '2026-06-12T06:00:00Z'],
    ]) {
      await shop.post(`/v1/cars/${ada.carId}/position`, { position, at });
    }
    const said = text((await browse(shop, 'GET', path)).html);
    // Folded for 17 of 72 hours, then raised for 3.
    expect(said).toContain('2 days 7 hours left');
    expect(said).toContain('After 12 hours raised without a break it begins anew; that is 9 hours');
    shop.setNow('2026-06-12T18:00:00.000Z');
    expect(text((await browse(shop, 'GET', path)).html)).not.toContain('left until');
  });

  it('asks how the car is kept while nobody has told, and takes the answer once', async () => {
    const lou = await fitted(shop, {
      owner: { name: 'Lou Piping', email: 'lou@example.net' },
      car: { registration: 'FK 2', keeping: {} },
      top: { fittedOn: '2026-06-01' },
    });
    const her = await linkFor(shop, lou.ownerId, 'owner-page');
    const asked = (await browse(shop, 'GET', her)).html;
    expect(text(asked)).toContain('How is it kept?');
    expect(text(asked)).toContain(
      'not told where it stands, which salt reaches it, when it is driven: 12',
    );
    const answered = await browse(shop, 'POST', `${her}/cars/${lou.carId}/keeping`, {
      place: 'outdoors',
      salt: 'by-sea',
      use: '',
    });
    expect(answered.headers['location']).toBe(`${her}?done=kept`);
    const kept = async () => (await shop.get(`/v1/cars/${lou.carId}`)).body.keeping;
    expect(await kept()).toMatchObject({ place: 'outdoors', salt: 'by-sea', use: null });
    // Six months by the sea: the contract's table and its square root.
    const { body: top } = await shop.get(`/v1/tops/${lou.topId}`);
    expect(top.lubrication).toMatchObject({ intervalMonths: 6, dueOn: '2026-12-01' });
    const after = (await browse(shop, 'GET', her)).html;
    expect(after).not.toContain('name="salt"');
    expect(after).toContain('name="use"');
    // A link answers what is open; it overrules nothing that is on record, nor another owner's car.
    await browse(shop, 'POST', `${her}/cars/${lou.carId}/keeping`, { salt: 'none', use: 'moon' });
    expect(await kept()).toMatchObject({ salt: 'by-sea', use: null });
    const other = await browse(shop, 'POST', `${her}/cars/${ada.carId}/keeping`, { use: 'daily' });
    expect(other.status).toBe(404);
    expect(text((await browse(shop, 'GET', path)).html)).not.toContain('How is it kept?');
  });

  it('says by how much the limit is passed', async () => {
    await shop.post(`/v1/cars/${ada.carId}/position`, {
      position: 'folded',
      at: '2026-06-11T07:00:00Z',
      damp: true,
    });
    expect(text((await browse(shop, 'GET', path)).html)).toContain('2 hours over');
  });

  it('notes folding and raising by one button each, with the ticks', async () => {
    const folded = await press({ position: 'folded', damp: 'yes', coverOn: 'yes' });
    expect(folded.status).toBe(303);
    expect(folded.headers.location).toBe(`${path}?done=folded`);
    expect(await log()).toMatchObject([
      { position: 'folded', damp: true, coverOn: true, at: '2026-06-12T09:00:00.000Z' },
    ]);
    expect(text((await browse(shop, 'GET', `${path}?done=folded`)).html)).toContain(
      'Noted: folded.',
    );
    shop.setNow('2026-06-12T09:30:00.000Z');
    expect((await press({ position: 'raised' })).status).toBe(303);
    expect(await log()).toHaveLength(2);
  });

  it('takes a button that was pressed twice once', async () => {
    await press({ position: 'folded' });
    shop.setNow('2026-06-12T09:00:20.000Z');
    await press({ position: 'folded' });
    expect(await log()).toHaveLength(1);
  });

  it('takes an earlier time on the clock where the car is, and no time to come', async () => {
    expect((await press({ position: 'folded', when: '2026-06-11T18:30' })).status).toBe(303);
    expect((await log())[0].at).toBe('2026-06-11T17:30:00.000Z');
    for (const when of ['2026-06-13T09:00', '2026-02-30T09:00', 'yesterday', '2026-06-11T25:00']) {
      const refused = await press({ position: 'folded', when });
      expect([when, refused.status]).toEqual([when, 400]);
      expect(refused.html).toContain(
        'That time does not exist, is still to come or lies long before the top was fitted',
      );
    }
    expect(await log()).toHaveLength(1);
  });

  it('gives back what was typed, with what is wrong at the field that is', async () => {
    const typed = { position: 'folded', when: '2026-06-13T09:00', damp: 'yes' };
    const { html, status } = await press(typed);
    expect(status).toBe(400);
    const form = /<details open>.*?<\/details>/s.exec(html)?.[0] ?? '';
    expect(form).toMatch(/name="position" value="folded" required checked/);
    expect(form).toMatch(/name="damp" value="yes" checked/);
    expect(form).not.toMatch(/name="coverOn" value="yes" checked/);
    expect(form).toContain('value="13 Jun 2026 09:00"');
    expect(form).toMatch(/aria-invalid="true"/);
    expect(form).toContain('is still to come');
    expect(html).toContain(`href="#when-${ada.carId}"`);
    await press({ position: 'folded' });
    const [entry] = await log();
    const right = `${path}/cars/${ada.carId}/entries/${entry.id}/correct`;
    const again = await press({ position: 'raised', when: '2026-07-01T08:00' }, right);
    expect(again.status).toBe(400);
    const came = /<details open>.*?<\/details>/s.exec(again.html)?.[0] ?? '';
    expect(came).toContain(`id="when-${entry.id}"`);
    expect(came).toMatch(/value="raised" required checked/);
    expect(came).toContain('value="1 Jul 2026 08:00"');
    expect(await log()).toHaveLength(1);
  });

  it('puts the cold before the raising, in the words of the letters', async () => {
    const warm = 'Colder than 5 °C where it stands? Then leave the top as it is for now';
    const page = async () => text((await browse(shop, 'GET', path)).html);
    const floor = { handbook: { foldFloorCelsius: 5 } };
    const { headers } = await shop.get(`/v1/cars/${ada.carId}`);
    const match = { 'if-match': String(headers['etag']) };
    expect((await shop.call('PATCH', `/v1/cars/${ada.carId}`, floor, match)).status).toBe(200);
    expect(await page()).not.toContain(warm);
    await press({ position: 'folded' });
    const folded = await page();
    expect(folded.indexOf(warm)).toBeGreaterThan(0);
    expect(folded.indexOf('I raised it')).toBeGreaterThan(folded.indexOf(warm));
  });

  it('tells of a motor only to whom has one', async () => {
    const power = /\b(?:motor|switch|powered|engine|pump)\b/i;
    await press({ position: 'folded' });
    expect(text((await browse(shop, 'GET', path)).html)).not.toMatch(power);
    const bea = await fitted(shop, {
      owner: { name: 'Bea', email: 'bea@example.org' },
      car: { registration: 'FK 2' },
      top: { framePattern: 'four-seat-powered', powered: true },
    });
    const hers = await linkFor(shop, bea.ownerId, 'owner-page');
    expect(text((await browse(shop, 'GET', hers)).html)).toMatch(power);
  });

  it.each([[{}], [{ position: 'up' }]])(
    'refuses %j with a page and writes nothing',
    async (form) => {
      expect((await press(form as Record<string, string>)).status).toBe(400);
      expect(await log()).toEqual([]);
    },
  );

  it('waits for a top that was put up damp to dry, or to be said dry', async () => {
    const seen = async () => text((await browse(shop, 'GET', path)).html);
    await press({ position: 'folded' });
    shop.setNow('2026-06-12T09:30:00.000Z');
    await press({ position: 'raised', damp: 'yes' });
    expect(await seen()).toContain('It was put up damp, so it counts as resting from');
    expect(await seen()).toContain('It is dry now');
    expect((await log()).at(-1)).toMatchObject({ position: 'raised', damp: true });
    shop.setNow('2026-06-12T11:30:00.000Z');
    await press({ position: 'raised' });
    expect(await seen()).not.toContain('It is dry now');
    expect(await seen()).toContain('The count stands still while the top is up.');
    expect((await log()).at(-1)).toMatchObject({ position: 'raised', damp: false });
  });

  it('takes back an entry that was wrong, and keeps it in the log', async () => {
    await press({ position: 'folded' });
    const [{ id }] = await log();
    const withdraw = `${path}/cars/${ada.carId}/entries/${id}/withdraw`;
    expect((await press({}, withdraw)).status).toBe(303);
    expect((await log())[0].withdrawnAt).toBe('2026-06-12T09:00:00.000Z');
    expect((await browse(shop, 'GET', path)).html).not.toContain(id);
    expect((await press({}, `${path}/cars/${ada.carId}/entries/nothing/withdraw`)).status).toBe(
      404,
    );
    expect((await press({}, `${path}/cars/${ada.carId}/entries/%00/withdraw`)).status).toBe(404);
  });

  it('puts an entry right that was wrong, in one deed and once', async () => {
    await press({ position: 'folded', when: '2026-06-10T08:00' });
    const [wrong] = await log();
    const correct = `${path}/cars/${ada.carId}/entries/${wrong.id}/correct`;
    const ahead = { position: 'raised', when: '2026-06-20T08:00' };
    expect((await press(ahead, correct)).status).toBe(400);
    expect((await log())[0].withdrawnAt).toBeNull();
    for (const _ of [1, 2]) {
      const answer = await press({ position: 'raised', when: '2026-06-11T08:00' }, correct);
      expect(answer.status).toBe(303);
      expect(answer.headers.location).toContain('done=corrected');
    }
    const entries = await log();
    expect(entries).toHaveLength(2);
    expect(entries[0].withdrawnAt).toBe('2026-06-12T09:00:00.000Z');
    expect(entries[1]).toMatchObject({ position: 'raised', withdrawnAt: null });
    expect((await press({ position: 'raised' }, correct.replace(wrong.id, 'nothing'))).status).toBe(
      404,
    );
  });

  it('notes an oiling by the owner’s own hand: no readings, once a day, taken back the same day', async () => {
    const due = async () => (await shop.get(`/v1/tops/${ada.topId}`)).body.lubrication.dueOn;
    const visits = async () => (await shop.get(`/v1/tops/${ada.topId}/visits`)).body.items;
    expect(await due()).toBe('2026-06-10');
    await shop.post(`/v1/tops/${ada.topId}/visits`, {
      kind: 'lubrication',
      plannedOn: '2026-06-20',
    });
    const oiled = `${path}/cars/${ada.carId}/oiled`;
    await press({}, oiled);
    await press({}, oiled);
    expect(await due()).toBe('2027-06-12');
    const [booked, done, ...more] = await visits();
    expect(more).toEqual([]);
    expect(booked).toMatchObject({ state: 'booked', plannedOn: '2026-06-20' });
    expect(done).toMatchObject({ state: 'done', doneOn: '2026-06-12', readings: [] });
    expect(done.notes).toContain('owner');
    const page = await browse(shop, 'GET', path);
    expect(text(page.html)).toContain('You told us today');
    expect((await press({}, `${oiled}/withdraw`)).status).toBe(303);
    expect(await due()).toBe('2026-06-10');
    expect((await visits()).map(({ state }: { state: string }) => state)).toEqual([
      'booked',
      'cancelled',
    ]);
  });

  it('does not take back an oiling that somebody measured', async () => {
    await shop.post(`/v1/tops/${ada.topId}/visits`, {
      kind: 'lubrication',
      doneOn: '2026-06-12',
      readings: [{ pivot: 'L-MAIN', state: 'free', oiled: true }],
    });
    await press({}, `${path}/cars/${ada.carId}/oiled/withdraw`);
    const top = await shop.get(`/v1/tops/${ada.topId}`);
    expect(top.body.lubrication.lastOn).toBe('2026-06-12');
  });

  it('shows why the pivots are due, in German too', async () => {
    const jo = await fitted(shop, {
      owner: { name: 'Jo', email: 'jo@example.com', language: 'de', timeZone: 'Europe/Vienna' },
      car: { keeping: { place: 'outdoors', salt: 'by-sea', use: 'daily' } },
    });
    const said = text(
      (await browse(shop, 'GET', await linkFor(shop, jo.ownerId, 'owner-page'))).html,
    );
    expect(said).toContain('höchstens 12 Monate: allgemeiner Brauch');
    expect(said).toContain('im Freien, am Meer (Klasse C5): 6');
    expect(said).toContain('Das Handbuch Ihres Wagens');
    expect(said).not.toMatch(/ months | oil /);
  });

  it('escapes what people wrote', async () => {
    const eve = await fitted(shop, {
      owner: { name: '<img src=x onerror=alert(1)>', email: 'eve@example.com' },
      car: { registration: '"><script>x' },
    });
    const own = await linkFor(shop, eve.ownerId, 'owner-page');
    const { html } = await browse(shop, 'GET', own);
    expect(html).not.toMatch(/<script|<img/);
    expect(html).toContain('&lt;img src=x onerror=alert(1)&gt;');
    expect((await browse(shop, 'GET', `${own}?done=<script>`)).html).not.toContain('<script');
  });
});

describe('a link', () => {
  it('opens nothing of another purpose, owner or organisation', async () => {
    const stop = await linkFor(shop, ada.ownerId, 'stop', 'reminders');
    const unknown = await browse(shop, 'GET', '/o/unknown');
    expect(unknown.status).toBe(404);
    const asOwner = await browse(shop, 'GET', stop.replace('/u/', '/o/'));
    expect([asOwner.status, asOwner.html]).toEqual([404, unknown.html]);
    const other = await fitted(shop, { owner: { email: 'b@example.com' } });
    shop.key = await shop.keyFor('Another Club');
    const far = await fitted(shop, { owner: { email: 'c@example.net' } });
    for (const { carId } of [other, far]) {
      for (const tail of ['position', 'oiled', 'oiled/withdraw']) {
        const reached = await press({ position: 'folded' }, `${path}/cars/${carId}/${tail}`);
        expect([tail, reached.status]).toEqual([tail, 404]);
      }
    }
    expect(await log(far.carId)).toEqual([]);
    const posted = await press({ position: 'folded' }, `/o/unknown/cars/${ada.carId}/position`);
    expect([posted.status, posted.html]).toEqual([404, unknown.html]);
  });

  it('is made through the API, shown once, and revoked with all of its kind', async () => {
    const made = await shop.post(`/v1/owners/${ada.ownerId}/links`, { purpose: 'owner-page' });
    expect(made.status).toBe(201);
    const own = made.body.url.replace('https://care.example.org', '');
    expect(own).toMatch(/^\/o\/[\w-]{43}$/);
    expect(await wholeDatabase(shop)).not.toContain(own.slice(3));
    expect((await browse(shop, 'GET', own)).status).toBe(200);
    const stop = await linkFor(shop, ada.ownerId, 'stop', 'reminders');
    await shop.post('/v1/round', {});
    const gone = await shop.call('DELETE', `/v1/owners/${ada.ownerId}/links`);
    expect(gone.status).toBe(204);
    for (const dead of [own, path]) expect((await browse(shop, 'GET', dead)).status).toBe(404);
    // Old letters must go on being good for refusing.
    expect((await browse(shop, 'GET', stop)).status).toBe(200);
    // A letter that waits is written anew, so that it does not arrive with a dead link.
    const again = await shop.post('/v1/round', {});
    const letter = again.body.letters.find((l: { kind: string }) => l.kind === 'lubrication-due');
    const fresh = /https:\/\/care\.example\.org(\/o\/[\w-]{43})/.exec(letter.text)?.[1] ?? '';
    expect((await browse(shop, 'GET', fresh)).status).toBe(200);
  });

  it('cannot be made or revoked by another organisation, nor for another purpose', async () => {
    const purpose = { purpose: 'stop' };
    expect((await shop.post(`/v1/owners/${ada.ownerId}/links`, purpose)).status).toBe(400);
    shop.key = await shop.keyFor('Another Club');
    const body = { purpose: 'owner-page' };
    expect((await shop.post(`/v1/owners/${ada.ownerId}/links`, body)).status).toBe(404);
    expect((await shop.call('DELETE', `/v1/owners/${ada.ownerId}/links`)).status).toBe(404);
    expect((await browse(shop, 'GET', path)).status).toBe(200);
  });

  it('is not in the log of requests', async () => {
    const { buildServer } = await import('../../src/http/server.ts');
    const lines: string[] = [];
    const logger = { level: 'info', stream: { write: (line: string) => lines.push(line) } };
    const server = await buildServer(
      shop.context,
      {
        mailTray: null,
        ready: async () => ({ ready: true, parts: {} }),
        metrics: async () => ({ contentType: 'text/plain', text: '' }),
      },
      logger,
    );
    for (const url of [path, `${path}/card`, '/u/a-secret-token', '/o/a-secret-token?done=x']) {
      await server.inject({ url });
    }
    await server.close();
    const logged = lines.join('');
    expect(logged).toContain('/o/-');
    expect(logged).not.toContain('a-secret-token');
    expect(logged).not.toContain(path.slice(3));
  });
});

describe('the card for the car', () => {
  it('carries the address of the page as a square code that reads back', async () => {
    const { html } = await browse(shop, 'GET', `${path}/card`);
    expect(html).toContain(`https://care.example.org${path}`);
    const size = Number(/class="code" viewBox="0 0 (\d+)/.exec(html)?.[1]);
    const dark = [...html.matchAll(/M(\d+) (\d+)h1v1h-1z/g)].map(([, x, y]) => `${x},${y}`);
    // ISO/IEC 18004: a quiet zone of four modules, then a finder pattern of seven in three corners.
    expect((size - 8 - 17) % 4).toBe(0);
    const last = size - 5;
    for (const corner of ['4,4', `${last},4`, `4,${last}`, '10,10']) expect(dark).toContain(corner);
    expect(dark.filter((module) => /^[0-3],|,[0-3]$/.test(module))).toEqual([]);
  });
});
