import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { jointPlot } from '../../src/http/pages/cars/joint-plot.ts';
import { yearPlot } from '../../src/http/pages/cars/year-plot.ts';
import { benchPlot } from '../../src/http/pages/diary/bench-plot.ts';
import { signIn } from '../../src/usecases/organisations/sign-in.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { browse } from './link-for.ts';

const text = (html: string) => html.replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' ');

describe('the drawing of a joint', () => {
  const readings = [
    { doneOn: '2023-01-01', mm: 0 },
    { doneOn: '2025-01-01', mm: 0.4 },
  ];
  const limits = { planOver: 0.5, actOver: 1 };
  const on = (earliest: string, likely: string, latest: string | null) => ({
    earliest,
    likely,
    latest,
  });
  const drawn = (planOn: ReturnType<typeof on> | null, actOn: ReturnType<typeof on> | null) =>
    jointPlot({ readings, line: { slope: 0.2, intercept: 0 }, limits, planOn, actOn });

  it('puts readings, the line and the limits where their numbers are', () => {
    // 0 to 1.12 mm over 164 units; the first reading at the left end of the floor.
    const { points, line, limits: shown } = drawn(null, null);
    expect(points[0]).toEqual({ x: '40', y: '176' });
    expect(points[1]).toEqual({ x: '352', y: String(Math.round(1760 - (1640 * 0.4) / 1.12) / 10) });
    // 0.2 mm a year over 731 days is a hair above 0.4 mm.
    expect(line).toMatch(/^M40 176L352 117\.4$/);
    expect(shown.map(({ name, bar, tick, open }) => ({ name, bar, tick, open }))).toEqual([
      { name: 'plan', bar: '', tick: '', open: false },
      { name: 'act', bar: '', tick: '', open: false },
    ]);
  });

  it('draws an interval from its first to its last day, and one without an end to the edge', () => {
    const { limits: shown } = drawn(
      on('2025-06-01', '2026-01-01', '2027-01-01'),
      on('2026-01-01', '2029-01-01', null),
    );
    const [plan, act] = shown;
    const ends = /^M([\d.]+) [\d.]+H([\d.]+)$/.exec(plan?.bar ?? '');
    expect(Number(ends?.[1])).toBeLessThan(Number(plan?.tick));
    expect(Number(ends?.[2])).toBeGreaterThan(Number(plan?.tick));
    expect(act?.bar).toMatch(/H352$/);
    expect([plan?.open, act?.open]).toEqual([false, true]);
  });
});

describe('the drawing of a year', () => {
  it('breaks a spell at the ends of months, in the zone of the car', () => {
    // 31 March 22:00 to 2 April 10:00 in Berlin, where clocks stand two hours ahead of UTC.
    const spell = {
      position: 'folded' as const,
      from: '2026-03-31T20:00:00.000Z',
      to: '2026-04-02T08:00:00.000Z',
    };
    const { bars, months } = yearPlot([spell], 'Europe/Berlin', '2026-06-12T09:00:00.000Z', (day) =>
      day.slice(0, 7),
    );
    expect(months.map(({ word }) => word)).toHaveLength(13);
    expect([months[0]?.word, months.at(-1)?.word]).toEqual(['2025-06', '2026-06']);
    const a_day = (352 - 40) / 31;
    expect(bars).toHaveLength(2);
    expect(Number(bars[0]?.x)).toBeCloseTo(40 + a_day * (30 + 22 / 24), 1);
    expect(Number(bars[0]?.width)).toBeCloseTo((a_day * 2) / 24, 1);
    expect(Number(bars[1]?.x)).toBe(40);
    expect(Number(bars[1]?.width)).toBeCloseTo(a_day * (1 + 10 / 24), 1);
    expect(Number(bars[1]?.y) - Number(bars[0]?.y)).toBe(14);
  });
});

describe('the drawing of the bench', () => {
  it('frames the room, stacks what is offered on what is booked and brackets a jam', () => {
    const week = (id: string, booked: number, offered: number) => ({
      id,
      monday: '2026-06-15',
      capacityPlaces: 20,
      bookedPlaces: booked,
      offeredPlaces: offered,
    });
    const { room, booked, offered, jams } = benchPlot(
      [week('2026-W25', 10, 5), week('2026-W26', 0, 0), week('2026-W27', 20, 0)],
      [{ from: '2026-W25', to: '2026-W26' }],
      2,
    );
    expect(room.map(({ height }) => height)).toEqual(['138', '138', '138']);
    expect(booked.map(({ height }) => height)).toEqual(['69', '138']);
    expect(offered).toHaveLength(1);
    const [from] = booked;
    expect(Number(offered[0]?.y) + Number(offered[0]?.height)).toBeCloseTo(Number(from?.y), 5);
    expect(jams).toHaveLength(1);
  });
});

describe('charts on the pages', () => {
  let shop: Workshop;
  const open = async (url: string) => {
    const session = await signIn(shop.context, shop.key);
    const cookie = `__Host-foldkeep=${session.kind === 'signed-in' ? session.token : ''}`;
    return browse(shop, 'GET', url, undefined, { cookie });
  };
  beforeAll(async () => {
    shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  });
  afterAll(() => shop.close());

  it('show the readings of a joint with the table and the days behind them', async () => {
    const { topId } = await fitted(shop);
    for (const [doneOn, radialPlayMm] of [
      ['2024-04-10', 0.2],
      ['2025-04-10', 0.31],
      ['2026-04-10', 0.4],
    ] as const) {
      const reading = { pivot: 'L-MAIN', state: 'free', oiled: true, radialPlayMm };
      await shop.post(`/v1/tops/${topId}/visits`, { kind: 'look', doneOn, readings: [reading] });
    }
    const { status, html } = await open(`/tops/${topId}`);
    expect(status).toBe(200);
    expect(html.match(/class="life joint"/g)).toHaveLength(1);
    expect(html.match(/class="read"/g)).toHaveLength(3);
    const words = text(html);
    expect(words).toContain('left main pivot: radial play since the last repair');
    expect(words).toMatch(/10 April 2025 0\.31/);
    expect(words).toMatch(/0\.5 mm: about .* 20\d\d; from .* to .* 20\d\d/);
    expect(html).not.toContain('style=');
  });

  it('show the folded year with its spells', async () => {
    const { carId } = await fitted(shop, { car: { registration: 'FK 2' } });
    const log = (position: string, at: string) =>
      shop.post(`/v1/cars/${carId}/position`, { position, at });
    await log('raised', '2026-05-01T08:00:00Z');
    await log('folded', '2026-06-01T08:00:00Z');
    await log('raised', '2026-06-03T08:00:00Z');
    const { html } = await open(`/cars/${carId}`);
    expect(html).toContain('class="life year"');
    expect(html.match(/<rect class="folded"/g)).toHaveLength(1);
    expect(text(html)).toMatch(/When it was folded, the latest first .* 2 days folded/);
  });

  it('leave the year out where nothing was logged', async () => {
    const { carId } = await fitted(shop, { car: { registration: 'FK 3' } });
    expect((await open(`/cars/${carId}`)).html).not.toContain('class="life year"');
  });

  it('show the load of the bench with the hours behind it', async () => {
    const { status, html } = await open('/bench');
    expect(status).toBe(200);
    expect(html).toContain('class="life bench"');
    expect(text(html)).toContain('Week From Room Booked Offered Visits In a jam');
    expect(html.match(/<tr><th scope="row">/g)).toHaveLength(16);
    expect((await open('/today')).html).toContain('href="/bench"');
  });
});
