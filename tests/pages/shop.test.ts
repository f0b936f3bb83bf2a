import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { FRAME_PATTERNS } from '../../src/domain/pivots/frame-patterns.ts';
import { signIn } from '../../src/usecases/organisations/sign-in.ts';
import { pivotMap } from '../../src/views/pivot-map.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { browse, wholeDatabase } from './link-for.ts';

let shop: Workshop;
let cookie: string;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  cookie = await cookieFor(shop.key);
});
afterEach(() => shop.close());

const cookieFor = async (key: string) => {
  const session = await signIn(shop.context, key);
  return `__Host-foldkeep=${session.kind === 'signed-in' ? session.token : ''}`;
};
const open = (url: string, as = cookie) => browse(shop, 'GET', url, undefined, { cookie: as });
const text = (html: string) => html.replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' ');
/** The words of a section of the page, by its heading. */
const section = (html: string, heading: string) =>
  text(html.slice(html.indexOf(`<h2>${heading}</h2>`)).split('</section>')[0] ?? '');

describe('the morning page', () => {
  it('is quiet where there is nothing to say', async () => {
    const { status, html } = await open('/today');
    expect(status).toBe(200);
    expect(text(html)).toContain('Nobody has to be rung.');
    expect(text(html)).toContain('No car is near its limit.');
    expect(text(html)).toContain('No top is in its window.');
    expect(text(html)).toContain('Everybody can be written to.');
  });

  it('says who is over the limit, what is late or in its window, and who is booked', async () => {
    const phone = '+44 1632 960 001';
    const late = await fitted(shop, { owner: { phone }, top: { fittedOn: '2025-05-01' } });
    await fitted(shop, { car: { registration: 'FK 2' }, top: { fittedOn: '2025-06-20' } });
    await fitted(shop, { car: { registration: 'FK 3' }, top: { fittedOn: '2026-05-01' } });
    await shop.post(`/v1/cars/${late.carId}/position`, {
      position: 'folded',
      at: '2026-06-08T07:00:00Z',
    });
    await shop.post(`/v1/tops/${late.topId}/visits`, {
      kind: 'repair',
      plannedOn: '2026-06-17',
      minutes: 90,
    });
    const { html } = await open('/today');
    expect(section(html, 'Folded too long, or soon')).toContain('1 day 2 hours over');
    expect(html).toContain('href="tel:+441632960001"');
    const due = section(html, 'Oil due');
    expect(due).toMatch(/FK 1 ■ late .*FK 2 ○ in its window/);
    expect(due).not.toContain('FK 3');
    expect(text((await open('/bench')).html)).toMatch(/Week 25.*Wednesday,? 17 June 2026 FK 1/);
    expect(text((await open('/tops')).html)).toMatch(/FK 1 .*FK 2 .*FK 3 /);
  });

  it('says which letters met a fault and who gets none', async () => {
    const { ownerId } = await fitted(shop, { top: { fittedOn: '2025-06-12' } });
    await shop.post('/v1/round', {});
    await shop.call(
      'PUT',
      `/v1/owners/${ownerId}/preferences`,
      { refused: ['offers'], words: 'No.' },
      { 'if-match': '*' },
    );
    await shop.context.store.write(({ records }) =>
      records.letter.updateMany({
        where: { kind: 'lubrication-due' },
        data: { state: 'failed', fault: 'The mailbox is <full>.' },
      }),
    );
    const { html } = await open('/today');
    const letters = section(html, 'Letters of the last 7 days');
    expect(letters).toContain('oil is due, to Ada Quill: did not get through');
    expect(letters).toContain('The mailbox is &lt;full&gt;.');
    expect(letters).toContain('ada@example.org');
    expect(letters).toContain('The reader refused: weeks offered for a visit');
  });
});

describe('a top', () => {
  it('is drawn with every pivot, its verdict as shape and word, its readings and sentences', async () => {
    const { topId, carId } = await fitted(shop);
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'lubrication',
      doneOn: '2026-06-10',
      readings: [
        { pivot: 'L-MAIN', state: 'seized', oiled: false },
        { pivot: 'L-LINK1', state: 'dry', oiled: true, axialPlayMm: 0.1, washersPresent: 2 },
        { pivot: 'R-LINK1', state: 'stiff', oiled: true },
      ],
      findings: [{ text: 'A seam opens.', advised: 'Sew it.', outcome: 'declined' }],
    });
    const { html } = await open(`/tops/${topId}`);
    for (const joint of ['left main pivot', 'right link pivot 2']) expect(html).toContain(joint);
    expect(text(html)).not.toMatch(/[LR]-[A-Z]{3}|four-seat-manual/);
    const map = html.slice(html.indexOf('class="map"'), html.indexOf('class="legend"'));
    expect(map.match(/<text class="number /g)).toHaveLength(18);
    expect(map).toMatch(/<rect class="act"/);
    expect(map).toMatch(/<path class="plan"/);
    expect(map.match(/<circle class="watch"/g)).toHaveLength(2);
    expect(map).toContain('left main pivot act, left link pivot 1 watch, left link pivot 2 unread');
    expect(map.match(/<circle class="unread"/g)).toHaveLength(15);
    expect(text(html)).toMatch(
      /2 left link pivot 1 watch 10\/06\/2026 dry 2 of 2 0\.10 not measured oiled/,
    );
    expect(text(html)).toContain('left main: seized on 10 June 2026');
    const car = text((await open(`/cars/${carId}`)).html);
    expect(car).toContain('lubrication, done');
    expect(car).toContain('A seam opens. Advised: Sew it. Declined.');
    expect(car).toContain('dry, 2 washers, 0.10 mm axial');
  });

  it('shows the history of a car whose owner was erased, without a name', async () => {
    const { ownerId, carId } = await fitted(shop);
    await shop.call('DELETE', `/v1/owners/${ownerId}`, undefined, { 'if-match': '*' });
    const { status, html } = await open(`/cars/${carId}`);
    expect(status).toBe(200);
    expect(text(html)).toContain('Owner erased');
    expect(html).not.toContain('Ada');
  });
});

describe('the pages of a shop', () => {
  it('show nothing of another organisation', async () => {
    const { topId, carId } = await fitted(shop, {
      owner: { name: 'Secret Person' },
      top: { fittedOn: '2025-05-01' },
    });
    await shop.post(`/v1/cars/${carId}/position`, {
      position: 'folded',
      at: '2026-06-01T07:00:00Z',
    });
    const other = await cookieFor(await shop.keyFor('Another Club'));
    const unknown = await open('/tops/nothing', other);
    expect(unknown.status).toBe(404);
    for (const url of [`/tops/${topId}`, `/cars/${carId}`, '/tops/%00', '/cars/%27']) {
      const answer = await open(url, other);
      expect([url, answer.status, answer.html]).toEqual([url, 404, unknown.html]);
    }
    for (const url of ['/today', '/tops']) {
      const { status, html } = await open(url, other);
      expect([url, status]).toEqual([url, 200]);
      expect(html).not.toMatch(/Secret|FK 1/);
    }
  });

  it('change nothing by being opened, and escape what people wrote', async () => {
    const { topId, carId } = await fitted(shop, {
      owner: { name: '<script>alert(1)</script>', phone: '"><script>' },
      car: { registration: '<b>FK</b>' },
      top: { fittedOn: '2025-05-01', warranties: [{ part: '<i>cover</i>', months: 60 }] },
    });
    await shop.post(`/v1/cars/${carId}/position`, {
      position: 'folded',
      at: '2026-06-01T07:00:00Z',
    });
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-01',
      notes: '<img src=x>',
      findings: [{ text: '<svg onload=x>' }],
    });
    const before = await wholeDatabase(shop);
    for (const url of ['/today', '/tops', `/tops/${topId}`, `/cars/${carId}`]) {
      const { status, html, headers } = await open(url);
      expect([url, status]).toEqual([url, 200]);
      expect(html).not.toMatch(
        /<script(?! src="\/[\w.-]+\.js(?:\?v=\w+)?" defer)|<b>|<i>|<img|<svg onload/,
      );
      expect(headers['cache-control']).toBe('no-store');
      expect(headers['referrer-policy']).toBe('same-origin');
      expect(headers['content-security-policy']).toContain("default-src 'none'");
    }
    expect(await wholeDatabase(shop)).toBe(before);
  });

  it('refuse a page of a list that was never given out', async () => {
    for (const url of ['/tops?after=x', '/tops?after=a&after=b']) {
      expect([400, 200]).toContain((await open(url)).status);
    }
    expect((await open('/tops?after=x')).status).toBe(400);
  });
});

describe('the pivot map', () => {
  const judged = (pivots: readonly { code: string; side: 'L' | 'R'; kind: string }[]) =>
    pivots.map((pivot) => ({ ...pivot, verdict: 'good' as const }));
  const gaps = (points: readonly { x: number; y: number }[]) =>
    points.flatMap((a, i) => points.slice(i + 1).map((b) => Math.hypot(a.x - b.x, a.y - b.y)));

  it.each(Object.values(FRAME_PATTERNS))(
    'draws $name without one mark on another',
    ({ pivots }) => {
      const sides = pivotMap(judged(pivots), pivots);
      expect(sides.map(({ points }) => points.length)).toEqual([
        pivots.length / 2,
        pivots.length / 2,
      ]);
      for (const { points } of sides) {
        expect(Math.min(...gaps(points))).toBeGreaterThan(26);
        for (const { x, y } of points) {
          expect(x >= 16 && x <= 384 && y >= 16 && y <= 234).toBe(true);
        }
      }
      // The body is on the left of the drawing and the header on its right, as the pattern says.
      const [left] = sides;
      expect(left?.points[0]?.code).toBe('L-MAIN');
      expect(left?.points.at(-1)?.x).toBeGreaterThan(left?.points[0]?.x ?? 400);
    },
  );

  it('draws a pattern without places as a row, in order', () => {
    const own = Array.from({ length: 14 }, (_, i) => ({
      code: `R-LINK${i + 1}`,
      side: 'R' as const,
      kind: 'link',
      x: 50,
      y: 50,
    }));
    const [right, ...more] = pivotMap(judged(own), own);
    expect(more).toEqual([]);
    expect(Math.min(...gaps(right?.points ?? []))).toBeGreaterThan(26);
    expect(pivotMap(judged(own), [])[0]?.points).toEqual(right?.points);
  });
});
