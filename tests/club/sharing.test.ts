import { afterEach, beforeEach, expect, it } from 'vitest';
import { openDesk, wordsOf } from '../pages/desk.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { asClub } from './club.ts';

const FOLDED = { position: 'folded', at: '2026-06-01T09:00:00.000Z' };

eachDatabase('sharing between organisations', ({ open }) => {
  let shop: Workshop;
  let shopKey: string;
  let clubKey: string;
  let there: CarAndTop;
  let here: CarAndTop;
  let shopLink: string;
  let clubLink: string;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    shopKey = shop.key;
    // One address and one registration, and yet two records that know nothing of each other.
    const same = { owner: { email: 'ada@example.org' }, car: { registration: 'ADA 1' } };
    there = await fitted(shop, same);
    shopLink = await linkFor(shop, there.ownerId, 'owner-page');
    await shop.post(`/v1/tops/${there.topId}/visits`, {
      kind: 'lubrication',
      doneOn: '2026-06-10',
      readings: [{ pivot: 'L-MAIN', state: 'stiff', oiled: true, axialPlayMm: 0.4 }],
      notes: 'gate code 4711, paid in cash',
      findings: [{ text: 'Ada was rude about the seal', outcome: 'declined' }],
    });
    await shop.post(`/v1/cars/${there.carId}/position`, FOLDED);
    await asClub(shop);
    clubKey = shop.key;
    here = await fitted(shop, same);
    clubLink = await linkFor(shop, here.ownerId, 'owner-page');
    await shop.post(`/v1/cars/${here.carId}/position`, FOLDED);
  });
  afterEach(() => shop.close());

  const press = (link: string, carId: string, form: Record<string, string>) =>
    browse(shop, 'POST', `${link}/sharing/${carId}`, form);
  const shared = async (key: string, carId: string) => {
    const desk = await openDesk(shop, key);
    const { html, status } = await desk.open(`/cars/${carId}/shared`);
    return { status, words: wordsOf(html) };
  };
  const codeOf = (html: string) => /<code>([\w-]{43})<\/code>/.exec(html)?.[1] ?? '';
  const join = async () => {
    const code = codeOf((await press(shopLink, there.carId, { act: 'code' })).html);
    return press(clubLink, here.carId, { act: 'join', code });
  };
  const organisationOf = async (carId: string) =>
    (await shop.context.store.records.car.findUniqueOrThrow({ where: { id: carId } }))
      .organisationId;

  it('shows nothing unless it was joined and said, though address and registration are the same', async () => {
    expect((await shared(clubKey, here.carId)).words).toContain('shares nothing from elsewhere');
    expect((await shared(shopKey, there.carId)).words).toContain('shares nothing from elsewhere');
    const page = wordsOf((await browse(shop, 'GET', `${shopLink}/sharing`)).html);
    expect(page).toContain('Nobody else sees anything of this car.');
    expect((await join()).headers.location).toContain('done=joined');
    for (const [key, car] of [
      [clubKey, here],
      [shopKey, there],
    ] as const) {
      expect((await shared(key, car.carId)).words).toContain('shares nothing from elsewhere');
    }
    // The other's ids open nothing, joined or not.
    for (const [key, car] of [
      [shopKey, here],
      [clubKey, there],
    ] as const) {
      expect((await shared(key, car.carId)).status).toBe(404);
    }
  });

  it('shows one kind of record by one press, nothing written freely, and takes it back by one', async () => {
    await join();
    const club = await organisationOf(here.carId);
    const show = { to: club, kind: 'visits', shown: 'yes' };
    expect((await press(shopLink, there.carId, show)).headers.location).toContain('done=shown');
    const { words } = await shared(clubKey, here.carId);
    expect(words).toContain('From Elmyard Soft Tops');
    expect(words).toContain('left main pivot: stiff, oiled, 0.4 mm axial');
    expect(words).not.toMatch(/4711|rude|cash|Quill|ada@|folded|Letters to the owner/);
    // One way: the shop sees nothing of the club for that.
    expect((await shared(shopKey, there.carId)).words).toContain('shares nothing');
    const page = wordsOf((await browse(shop, 'GET', `${shopLink}/sharing`)).html);
    expect(page).toContain('Visits and readings shown since Friday, 12 June 2026');
    expect(page).toContain('Where the top stands not shown');
    await press(shopLink, there.carId, { ...show, shown: 'no' });
    expect((await shared(clubKey, here.carId)).words).toContain('shares nothing');
  });

  it('shows where the top stands and which letters came only where that was said', async () => {
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "letter" SET "state" = 'delivered'`),
    );
    await join();
    const club = await organisationOf(here.carId);
    await press(shopLink, there.carId, { to: club, kind: 'positions', shown: 'yes' });
    const { words } = await shared(clubKey, here.carId);
    expect(words).toContain('The top: folded, logged on Monday, 1 June 2026.');
    expect(words).not.toContain('stiff');
    await press(shopLink, there.carId, { to: club, kind: 'letters', shown: 'yes' });
    expect((await shared(clubKey, here.carId)).words).toContain('report of a visit');
  });

  it('joins by a code that is good once, for two days, and never with the same page', async () => {
    const code = codeOf((await press(shopLink, there.carId, { act: 'code' })).html);
    expect((await press(shopLink, there.carId, { act: 'join', code })).status).toBe(400);
    expect((await press(clubLink, here.carId, { act: 'join', code: 'x' })).status).toBe(400);
    expect((await press(clubLink, here.carId, { act: 'join', code })).status).toBe(303);
    expect((await press(clubLink, here.carId, { act: 'join', code })).status).toBe(400);
    const late = codeOf((await press(shopLink, there.carId, { act: 'code' })).html);
    shop.setNow('2026-06-14T09:00:01.000Z');
    expect((await press(clubLink, here.carId, { act: 'join', code: late })).status).toBe(400);
    // It opens no page, and a link to a page is no code.
    expect((await browse(shop, 'GET', `/o/${late}`)).status).toBe(404);
    const page = clubLink.slice('/o/'.length);
    expect((await press(shopLink, there.carId, { act: 'join', code: page })).status).toBe(400);
  });

  it('ends with the car’s sale, its owner’s erasure, or when the two are parted', async () => {
    await join();
    const club = await organisationOf(here.carId);
    const show = { to: club, kind: 'visits', shown: 'yes' };
    await press(shopLink, there.carId, show);
    const home = await organisationOf(there.carId);
    await press(clubLink, here.carId, { act: 'part', to: home });
    expect((await shared(clubKey, here.carId)).words).toContain('shares nothing');
    expect((await press(shopLink, there.carId, show)).status).toBe(404);
    await join();
    await press(shopLink, there.carId, show);
    expect((await shared(clubKey, here.carId)).words).toContain('stiff');
    // The club erases its member: what the shop's page of her showed is gone with it.
    const tag = { 'if-match': '*' };
    await shop.call('DELETE', `/v1/owners/${here.ownerId}`, undefined, tag);
    expect((await shared(clubKey, here.carId)).words).not.toContain('stiff');
  });

  it('lets nobody share what is another’s', async () => {
    await join();
    const club = await organisationOf(here.carId);
    const forms = [
      [clubLink, there.carId, { to: club, kind: 'visits', shown: 'yes' }],
      [clubLink, there.carId, { act: 'code' }],
      [clubLink, there.carId, { act: 'part', to: club }],
      [shopLink, there.carId, { to: 'nobody', kind: 'visits', shown: 'yes' }],
      [shopLink, there.carId, { to: club, kind: 'notes', shown: 'yes' }],
      ['/o/unknown', there.carId, { to: club, kind: 'visits', shown: 'yes' }],
    ] as const;
    for (const [link, carId, form] of forms) {
      expect([form, (await press(link, carId, form)).status]).toEqual([form, 404]);
    }
    expect((await shared(clubKey, here.carId)).words).toContain('shares nothing');
  });

  it('keeps from a club where a member’s top stands until she shows it', async () => {
    const call = async () => {
      shop.key = clubKey;
      const answers = ['position', 'position-log', 'spells'].map((what) =>
        shop.get(`/v1/cars/${here.carId}/${what}`),
      );
      return (await Promise.all(answers)).map(({ status }) => status);
    };
    const pages = async () => {
      const desk = await openDesk(shop, clubKey);
      const paths = ['/today', `/cars/${here.carId}`, '/letters', `/letters?owner=${here.ownerId}`];
      const opened = await Promise.all(paths.map((path) => desk.open(path)));
      return opened.map(({ html }) => wordsOf(html)).join(' ');
    };
    await shop.post('/v1/round', {});
    expect(await call()).toEqual([403, 403, 403]);
    expect(await pages()).not.toMatch(
      /folded since|past its limit|still folded|Monday, 1 June 2026/,
    );
    const { body } = await shop.get('/v1/letters?limit=200');
    expect(body.items.map(({ kind }: { kind: string }) => kind).join()).not.toContain('folded');
    // She herself sees it, and her alarm was written.
    const own = await browse(shop, 'GET', clubLink);
    expect(wordsOf(own.html)).toContain('The top is folded');
    const rows = await shop.context.store.sql.all(
      `SELECT "id" FROM "letter" WHERE "kind" LIKE 'folded-%' AND "ownerId" = ?`,
      [here.ownerId],
    );
    expect(rows).toHaveLength(1);
    const club = await organisationOf(here.carId);
    await press(clubLink, here.carId, { to: club, kind: 'positions', shown: 'yes' });
    expect(await call()).toEqual([200, 200, 200]);
    expect(await pages()).toMatch(/1 June 2026/);
    await press(clubLink, here.carId, { to: club, kind: 'positions', shown: 'no' });
    expect(await call()).toEqual([403, 403, 403]);
  });

  it('is said in German too', async () => {
    await shop.context.store.writeSql((sql) => sql.run(`UPDATE "owner" SET "language" = 'de'`));
    const page = wordsOf((await browse(shop, 'GET', `${clubLink}/sharing`)).html);
    expect(page).toContain('Wo das Verdeck steht');
    expect(page).not.toMatch(/Take it back|Where the top/);
  });
});
