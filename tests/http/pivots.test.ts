import { afterEach, beforeEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('the pivots of a top', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  const measure = (topId: string, doneOn: string, axialPlayMm: number, more: object = {}) =>
    shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn,
      readings: [{ pivot: 'L-MAIN', state: 'free', oiled: true, axialPlayMm, ...more }],
    });
  const pivot = async (topId: string, code = 'L-MAIN') => {
    const { body } = await shop.get(`/v1/tops/${topId}/pivots`);
    return body.items.find((item: { code: string }) => item.code === code);
  };

  it('project a rising play, and say so in a sentence', async () => {
    const { topId } = await fitted(shop);
    await measure(topId, '2024-04-10', 0.2);
    await measure(topId, '2025-04-10', 0.31);
    await measure(topId, '2026-04-10', 0.4);
    const answer = await shop.get(`/v1/tops/${topId}/pivots`);
    expect(answer.status).toBe(200);
    expect(answer.body.items).toHaveLength(18);
    const main = await pivot(topId);
    // Median of 0.11/1, 0.09/1 and 0.20/2 mm a year, and so 0.1 mm a year (Theil-Sen, by hand).
    expect(main.trend).toMatchObject({ method: 'axial', n: 3, s: 3 });
    expect(main.trend.slope).toBeCloseTo(0.1, 3);
    // From the medians (2025-04-10, 0.31) at 0.1 mm a year to 0.5 mm: 1.9 years on, spring 2027.
    expect(main.planOn.likely).toMatch(/^2027/);
    expect(main.planOn.earliest < '2027-03-01').toBe(true);
    expect(main.planOn.latest > '2027-03-01').toBe(true);
    expect(main.planOn.earliest <= main.planOn.likely).toBe(true);
    expect(main).toMatchObject({ verdict: 'watch', missing: null, washersExpected: 2 });
    expect(main.lastReading).toMatchObject({ doneOn: '2026-04-10', axialPlayMm: 0.4, oiled: true });
    expect(main.sentence).toMatch(/^left main: 0\.20, 0\.31, 0\.40 mm axial/);
  });

  it('name a day from two readings without a line, and none from one, and say what is missing', async () => {
    const { topId } = await fitted(shop);
    await measure(topId, '2025-04-10', 0.2);
    expect(await pivot(topId)).toMatchObject({
      trend: null,
      planOn: null,
      actOn: null,
      missing: 'one reading, and a day needs 2: 1 more is missing',
    });
    await measure(topId, '2026-04-10', 0.4);
    const two = await pivot(topId);
    expect(two).toMatchObject({ trend: null, missing: null });
    expect(two.planOn.earliest <= two.planOn.likely).toBe(true);
    expect(two.sentence).toContain('(from 2 readings here and the shop rule for wear)');
    expect(await pivot(topId, 'R-MAIN')).toMatchObject({
      verdict: 'good',
      lastReading: null,
      series: [],
      because: ['nothing recorded yet'],
    });
  });

  it('name the same day on the page, in the report to the owner and to programs', async () => {
    // Ten cars of the pattern wear fast, so that a day without them would be years later.
    for (let car = 0; car < 10; car += 1) {
      const { topId } = await fitted(shop, { car: { registration: `FAST ${car}` } });
      await measure(topId, '2024-04-10', 0.05);
      await measure(topId, '2025-04-10', 0.3 + car / 100);
    }
    const { topId, carId } = await fitted(shop, { car: { registration: 'MINE 1' } });
    await measure(topId, '2024-04-10', 0.1);
    await measure(topId, '2025-04-10', 0.22);
    const visit = await measure(topId, '2026-06-11', 0.35);
    const main = await pivot(topId);
    expect(main.sentence).toContain('10 joints of this kind and pattern on other cars');
    const letters = (await shop.get(`/v1/letters?carId=${carId}`)).body.items;
    const report = letters.find(({ kind }: { kind: string }) => kind === 'visit-report');
    expect(visit.status).toBe(201);
    const { text } = (await shop.get(`/v1/letters/${report.id}`)).body;
    // No letter is surer of a day than the page is: the same months, no day of the week.
    const [, month, range] =
      /reaches [\d.]+ mm about (\w+ \d{4}), (.+?) \(/.exec(main.sentence) ?? [];
    expect(range).toMatch(
      /^between \w+ \d{4} and \w+ \d{4}$|^not before|^though it may have met it already, (?:or not until \w+ \d{4}|no end known)$/,
    );
    expect(text.replaceAll('\n', ' ')).toContain(`meets its limit about ${month}, ${range}.`);
  });

  it('are not told to want the oil that they were given on the visit that found them dry', async () => {
    const { topId, carId } = await fitted(shop, { car: { registration: 'OILED 1' } });
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'lubrication',
      doneOn: '2026-06-11',
      readings: [
        { pivot: 'L-MAIN', state: 'dry', oiled: true },
        { pivot: 'R-MAIN', state: 'dry', oiled: false },
      ],
    });
    expect((await pivot(topId)).sentence).toContain('it was oiled then');
    expect((await pivot(topId, 'R-MAIN')).sentence).toContain('it wants oil');
    const letters = (await shop.get(`/v1/letters?carId=${carId}`)).body.items;
    const { id } = letters.find(({ kind }: { kind: string }) => kind === 'visit-report');
    const { text } = (await shop.get(`/v1/letters/${id}`)).body;
    expect(text).toContain('Left main pivot was dry and was oiled.');
    expect(text).toContain('Right main pivot is dry.');
  });

  it('keep their history over a re-cover, and begin anew at a repair', async () => {
    const { topId, carId } = await fitted(shop);
    await measure(topId, '2024-04-10', 0.2);
    await measure(topId, '2025-04-10', 0.31, { repaired: true });
    const again = await shop.post('/v1/tops', {
      carId,
      fittedOn: '2025-09-01',
      framePattern: 'four-seat-manual',
      cover: { material: 'vinyl' },
      window: 'clear-vinyl',
    });
    await measure(again.body.id, '2026-04-10', 0.1);
    const main = await pivot(again.body.id);
    expect(main.repairedOn).toBe('2025-04-10');
    expect(main.series).toEqual([{ doneOn: '2026-04-10', method: 'axial', mm: 0.1 }]);
    expect(main.earlierSeries.map((play: { mm: number }) => play.mm)).toEqual([0.2, 0.31]);
    // The old top is shown as it stood when it was taken off.
    const old = await shop.get(`/v1/tops/${topId}/pivots`);
    expect(old.body.on).toBe('2025-09-01');
    expect(old.body.items[0].series).toEqual([]);
  });

  it('shorten the interval of a new top too, and ask for their look, until they are mended', async () => {
    const { topId, carId } = await fitted(shop);
    const lubrication = async (id: string) => (await shop.get(`/v1/tops/${id}`)).body.lubrication;
    const looks = async () => (await shop.get('/v1/looks?until=2026-12-31')).body.items;
    await measure(topId, '2026-05-10', 0.2, { state: 'stiff', washersPresent: 1 });
    expect(await lubrication(topId)).toMatchObject({ intervalMonths: 6 });
    expect(await looks()).toMatchObject([{ topId, look: { since: '2026-05-10' } }]);
    const again = await shop.post('/v1/tops', {
      carId,
      fittedOn: '2026-05-31',
      framePattern: 'four-seat-manual',
      cover: { material: 'vinyl' },
      window: 'glass',
    });
    expect(again.body.lubrication).toMatchObject({ intervalMonths: 6, dueOn: '2026-11-30' });
    expect(again.body.lubrication.because).toContain('pivot stiff or washer missing: 6');
    expect(await looks()).toMatchObject([{ topId: again.body.id, look: { since: '2026-05-10' } }]);
    await measure(again.body.id, '2026-06-01', 0.1, { repaired: true, washersPresent: 2 });
    expect(await lubrication(again.body.id)).toMatchObject({ intervalMonths: 12 });
    // The old one is shown as it was.
    expect(await lubrication(topId)).toMatchObject({ intervalMonths: 6 });
  });

  it('let a state word and missing washers outweigh small play', async () => {
    const { topId } = await fitted(shop);
    await measure(topId, '2026-04-10', 0.1, { state: 'seized', washersPresent: 1 });
    const main = await pivot(topId);
    expect(main.verdict).toBe('act');
    expect(main.because[0]).toContain('seized');
    expect(main.because[1]).toContain('1 of 2 washers missing');
  });

  it('tell a loose frame from a twisted one, and which joint explains the sway', async () => {
    const { topId } = await fitted(shop);
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-04-10',
      swayMm: 12,
      diagonalsMm: { left: 1502, right: 1500 },
      breakawayN: 40,
      readings: [
        { pivot: 'L-MAIN', state: 'loose', oiled: false, axialPlayMm: 0.55 },
        { pivot: 'R-LATCH', state: 'loose', oiled: false, axialPlayMm: 3 },
      ],
    });
    const { frame } = (await shop.get(`/v1/tops/${topId}/pivots`)).body;
    expect(frame).toMatchObject({ verdict: 'plan', twist: { told: 'loose' }, missing: [] });
    expect(frame.sway).toMatchObject({ value: 12, verdict: 'plan', baseline: null });
    expect(frame.diagonals).toMatchObject({ value: 2, verdict: 'good' });
    // Lever × (gap − healthy gap) ÷ face = 1100 × (0.55 − 0.25) ÷ 25 = 13.2 mm, more than was measured;
    // latches carry no sway.
    expect(frame.share.joints).toHaveLength(1);
    expect(frame.share.joints[0].pivot).toBe('L-MAIN');
    expect(frame.share.joints[0].upperMm).toBeCloseTo(13.2, 9);
    expect(frame.share.explainedMm).toBe(12);
  });

  it('ask the database as often for forty visits as for two', async () => {
    const { topId } = await fitted(shop);
    const queries = async () => {
      const { sql } = shop.context.store;
      const ask = sql.all;
      let n = 0;
      sql.all = (...args) => {
        n += 1;
        return ask.apply(sql, args) as never;
      };
      await shop.get(`/v1/tops/${topId}/pivots`);
      sql.all = ask;
      return n;
    };
    await measure(topId, '2025-12-01', 0.1);
    await measure(topId, '2026-01-01', 0.1);
    const two = await queries();
    for (let day = 1; day < 29; day += 1) {
      await measure(topId, `2026-02-${String(day).padStart(2, '0')}`, 0.1);
    }
    expect(await queries()).toBe(two);
  });

  it('belong to one organisation', async () => {
    const { topId } = await fitted(shop);
    shop.key = await shop.keyFor('Another Club');
    expect((await shop.get(`/v1/tops/${topId}/pivots`)).status).toBe(404);
  });
});
