import sharp from 'sharp';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { newId } from '../../src/usecases/context/new-id.ts';
import { MOST_A_DAY } from '../../src/usecases/photos/photos.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';
import { wholeLetters } from '../setup/stored-letters.ts';

const MAKER = 'Invented Camera Works';

/** A photo of a telephone, lying on its side, with place and maker written into it. */
async function telephonePhoto(width: number, height: number): Promise<Buffer> {
  const background = { r: 90, g: 120, b: 60 };
  return sharp({ create: { width, height, channels: 3, background } })
    .withMetadata({ orientation: 6 })
    .withExifMerge({
      IFD0: { Make: MAKER },
      IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '51/1 30/1 1/1', GPSLongitudeRef: 'E' },
    })
    .jpeg()
    .toBuffer();
}

eachDatabase('photos', ({ open }) => {
  let shop: Workshop;
  let desk: Desk;
  let ids: CarAndTop;
  let photo: Buffer;
  beforeAll(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    desk = await openDesk(shop);
    ids = await fitted(shop, { top: { fittedOn: '2025-06-10' } });
    // Larger than any that is kept.
    photo = await telephonePhoto(1500, 1000);
  });
  afterAll(() => shop.close());

  const send = async (
    file: Buffer | null,
    fields: Record<string, string> = {},
    { cookie = desk.cookie, carId = ids.carId, site = 'same-origin' } = {},
  ) => {
    const form = new FormData();
    for (const [name, value] of Object.entries({ once: newId(), ...fields })) form.set(name, value);
    if (file !== null) form.set('photo', new Blob([new Uint8Array(file)]), 'photo.jpg');
    const body = new Response(form);
    const answer = await shop.server.inject({
      method: 'POST',
      url: `/cars/${carId}/photos`,
      headers: {
        cookie,
        'sec-fetch-site': site,
        'content-type': body.headers.get('content-type') ?? '',
      },
      payload: Buffer.from(await body.arrayBuffer()),
    });
    return { status: answer.statusCode, html: answer.body };
  };
  const get = async (url: string, cookie = desk.cookie) =>
    shop.server.inject({ method: 'GET', url, headers: { cookie } });
  const kept = async () =>
    (await shop.context.store.records.photo.findMany({ where: { removedAt: null } })).toSorted(
      (a, b) => (a.id < b.id ? -1 : 1),
    );
  const clear = async () => {
    await shop.context.store.writeSql(async (sql) => {
      await sql.run('DELETE FROM "photo_data"');
      await sql.run('DELETE FROM "photo"');
    });
  };

  it('are taken of a finding and shown at it, and in the report by its words', async () => {
    await clear();
    const findings = [
      { text: 'The hem is torn at the left corner.', pivot: 'L-MAIN' },
      { text: 'A drain is blocked.' },
    ];
    const visit = await shop.post(`/v1/tops/${ids.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-12',
      findings,
    });
    const record = `/visits/${visit.body.id}/record`;
    const at = (html: string, words: string) =>
      /<li>(?:(?!<li>)[\s\S])*?Photo of it/.exec(html.slice(html.indexOf(`<li>${words}`)))?.[0] ??
      '';
    const before = (await get(record)).body;
    const [, href = ''] = /href="([^"]*words=[^"]*)"/.exec(before) ?? [];
    const form = (await get(href.replaceAll('&amp;', '&'))).body;
    expect(form).toContain('value="The hem is torn at the left corner."');
    expect(form).toMatch(/<option value="L-MAIN" selected>/);
    const words = 'The hem is torn at the left corner.';
    const fields = { visit: visit.body.id, pivot: 'L-MAIN', words, letter: 'yes' };
    expect((await send(photo, fields)).status).toBe(303);
    expect((await send(photo, { visit: visit.body.id, words: 'The whole car.' })).status).toBe(303);
    const { body } = await get(record);
    expect(body.match(/<img /g)).toHaveLength(2);
    const found = body.slice(body.indexOf('Found'), body.indexOf('>Photos<'));
    expect(found.match(/<img /g)).toHaveLength(1);
    expect(at(found, 'left main pivot')).toContain('alt="');
    const letters = await wholeLetters(
      shop.context.store.sql,
      `l."kind" = 'visit-report' AND l."state" = 'planned'`,
    );
    expect(letters.some(({ text }) => text.includes(words))).toBe(true);
    await clear();
  });

  it('are put right where one was said to show another joint', async () => {
    await clear();
    expect((await send(photo, { pivot: 'L-MAIN', words: 'Rust.' })).status).toBe(303);
    const [one] = await kept();
    const list = `/cars/${ids.carId}/photos`;
    const action = `/photos/${one?.id ?? ''}/change`;
    const page = await desk.open(list);
    expect((await desk.send(page, action, { pivot: 'R-MAIN' })).status).toBe(303);
    const [now] = await kept();
    expect(now).toMatchObject({ id: one?.id, pivotCode: 'R-MAIN', words: 'Rust.', version: 2 });
    expect(wordsOf((await desk.open(list)).html)).toContain('right main pivot: Rust.');
    const wrong = await desk.send(await desk.open(list), action, { pivot: 'X-NONE' });
    expect(wrong.status).toBe(400);
    expect(wordsOf(wrong.html)).toContain('This top has no such joint.');
    expect((await kept())[0]).toMatchObject({ pivotCode: 'R-MAIN' });
    await clear();
  });

  it('are kept upright and scaled down, without place, maker or anything else of the camera', async () => {
    const large = await telephonePhoto(3000, 2000);
    const before = await sharp(large).metadata();
    expect([before.width, before.height, before.orientation]).toEqual([3000, 2000, 6]);
    expect(large.includes(MAKER)).toBe(true);
    // TIFF tag 0x8825 is the pointer to the place (Exif 2.32, 4.6.3).
    expect(before.exif?.includes(Buffer.from([0x25, 0x88]))).toBe(true);
    expect((await send(large, { pivot: 'L-MAIN', words: 'worn hole' })).status).toBe(303);
    const [row] = await kept();
    expect(row).toMatchObject({
      pivotCode: 'L-MAIN',
      takenOn: '2026-06-12',
      width: 853,
      height: 1280,
    });
    for (const [url, side] of [
      [`/photos/${row?.id}`, 1280],
      [`/photos/${row?.id}/small`, 480],
    ] as const) {
      const answer = await get(url);
      const { width, height, ...after } = await sharp(answer.rawPayload).metadata();
      expect(Math.max(width, height)).toBe(side);
      expect(width).toBeLessThan(height);
      expect([
        after.format,
        after.exif,
        after.icc,
        after.xmp,
        after.iptc,
        after.orientation,
      ]).toEqual(['jpeg', undefined, undefined, undefined, undefined, undefined]);
      expect(answer.rawPayload.includes(MAKER)).toBe(false);
      expect(answer.rawPayload.includes('Exif')).toBe(false);
      expect(answer.headers).toMatchObject({
        'content-type': 'image/jpeg',
        'x-content-type-options': 'nosniff',
        'cache-control': 'private, no-store',
      });
    }
    await clear();
  });

  it('are once what is sent twice, and say what to do where they cannot be kept', async () => {
    const once = newId();
    for (const _ of [1, 2]) expect((await send(photo, { once })).status).toBe(303);
    expect(await kept()).toHaveLength(1);
    const svg = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><script/></svg>',
    );
    for (const file of [svg, Buffer.from('<html>'), photo.subarray(0, 400), Buffer.alloc(0)]) {
      const { status, html } = await send(file);
      expect(status).toBeGreaterThanOrEqual(400);
      expect(status).toBeLessThan(500);
      expect(wordsOf(html)).toMatch(/no photo that can be kept|No photo came/);
    }
    const large = await send(Buffer.concat([photo, Buffer.alloc(12 * 1024 * 1024)]));
    expect([large.status, wordsOf(large.html)]).toEqual([
      413,
      expect.stringContaining('larger than 12 MB'),
    ]);
    expect((await send(photo, { pivot: 'NO-SUCH' })).status).toBe(400);
    expect((await send(null)).status).toBe(409);
    expect(await kept()).toHaveLength(1);
    const [row] = await kept();
    const more = Array.from({ length: MOST_A_DAY - 1 }, () => ({ ...row!, id: newId() }));
    await shop.context.store.write(async ({ records }) => {
      await records.photo.createMany({ data: more });
    });
    expect((await send(photo)).status).toBe(409);
    await clear();
  });

  it('are taken and seen by those alone who may', async () => {
    await send(photo);
    const [row] = await kept();
    const other = await openDesk(shop, await shop.keyFor('Other Tops'));
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    for (const url of [
      `/photos/${row?.id}`,
      `/photos/${row?.id}/small`,
      `/cars/${ids.carId}/photos`,
    ]) {
      expect([url, (await get(url, other.cookie)).statusCode]).toEqual([url, 404]);
      expect([url, (await get(url, reader.cookie)).statusCode]).toEqual([url, 200]);
      expect((await get(url, '')).statusCode).not.toBe(200);
    }
    expect((await send(photo, {}, { cookie: other.cookie })).status).toBe(404);
    expect((await send(photo, {}, { cookie: reader.cookie })).status).toBe(403);
    expect((await send(photo, {}, { cookie: '' })).status).toBe(401);
    expect((await send(photo, {}, { site: 'cross-site' })).status).toBe(403);
    const removal = { once: newId(), sure: 'yes' };
    expect((await other.post(`/photos/${row?.id}/remove`, removal)).status).toBe(404);
    expect(await kept()).toHaveLength(1);
    await clear();
  });

  it('stand with the visit, the top and the car, and leave a trace when they are removed', async () => {
    const visit = await shop.post(`/v1/tops/${ids.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-12',
    });
    await send(photo, { visit: visit.body.id, words: 'a torn seam' });
    const [row] = await kept();
    for (const url of [
      `/visits/${visit.body.id}/record`,
      `/tops/${ids.topId}`,
      `/cars/${ids.carId}`,
    ]) {
      expect([url, (await get(url)).body.includes(`/photos/${row?.id}/small`)]).toEqual([
        url,
        true,
      ]);
    }
    const form = `/photos/${row?.id}/remove`;
    const sure = await desk.send(await desk.open(`/cars/${ids.carId}/photos`), form);
    expect(wordsOf(sure.html)).toContain('Remove this photo?');
    await desk.send(sure, form);
    expect(await kept()).toEqual([]);
    expect((await get(`/photos/${row?.id}`)).statusCode).toBe(404);
    expect(await shop.context.store.records.photoData.count()).toBe(0);
    const trail = (await shop.get(`/v1/trail?carId=${ids.carId}`)).body.items;
    expect(trail[0]).toMatchObject({ kind: 'photo', action: 'changed', recordId: row?.id });
    await clear();
  });

  it('are in the report that waits, four at the most, if the shop wants', async () => {
    const own = await fitted(shop, {
      car: { registration: 'FK 9' },
      owner: { email: 'r@example.org' },
    });
    const visit = await shop.post(`/v1/tops/${own.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-12',
    });
    const report = async () => {
      const letters = await wholeLetters(
        shop.context.store.sql,
        `l."ownerId" = ? AND l."kind" = 'visit-report' AND l."state" = 'planned'`,
        [own.ownerId],
      );
      expect(letters).toHaveLength(1);
      return letters[0]?.html ?? '';
    };
    const pictures = async () => (await report()).split('src="data:image/jpeg;base64,').length - 1;
    expect(await pictures()).toBe(0);
    await send(photo, { visit: visit.body.id }, { carId: own.carId });
    expect(await pictures()).toBe(0);
    for (let n = 1; n <= 5; n += 1) {
      const shown = { visit: visit.body.id, letter: 'yes', words: `seam ${n}` };
      await send(photo, shown, { carId: own.carId });
      expect(await pictures()).toBe(Math.min(n, 4));
    }
    expect(await report()).toContain('Seam 4');
    expect((await report()).length).toBeLessThan(400_000);
    await clear();
  });

  it('go with their owner', async () => {
    const own = await fitted(shop, {
      car: { registration: 'FK 8' },
      owner: { email: 'e@example.org' },
    });
    await send(photo, { words: 'Ada at the wheel' }, { carId: own.carId });
    expect(await shop.context.store.records.photoData.count()).toBe(1);
    const gone = await shop.call('DELETE', `/v1/owners/${own.ownerId}`, undefined, {
      'if-match': '*',
    });
    expect(gone.status).toBeLessThan(300);
    expect(await shop.context.store.records.photoData.count()).toBe(0);
    expect(await kept()).toEqual([]);
    expect(JSON.stringify(await shop.context.store.records.photo.findMany())).not.toContain('Ada');
  });
});
