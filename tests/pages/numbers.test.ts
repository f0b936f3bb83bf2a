import { afterAll, beforeAll, expect, it } from 'vitest';
import { RULES, triableRule } from '../../src/usecases/rules/all-rules.ts';
import { figureNamesOf, marksInWords } from '../../src/usecases/rules/figures-of-rule.ts';
import { figureNamed } from '../../src/domain/figure-tables/figure-tables.ts';
import { MARKS } from '../../src/domain/figures/figure.ts';
import { PAGE_RULES } from '../../src/http/pages/frame/page-rules.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk } from './desk.ts';

let shop: Workshop;
let desk: Desk;
let ids: { carId: string; topId: string };
beforeAll(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  ids = await fitted(shop);
  desk = await openDesk(shop);
});
afterAll(() => shop.close());

/** Where a page with figures is met; those of the diary, the day and the bench need nothing recorded. */
const ADDRESSES: Readonly<Record<string, (at: typeof ids) => string>> = {
  today: () => '/today',
  tops: () => '/tops',
  top: ({ topId }) => `/tops/${topId}`,
  car: ({ carId }) => `/cars/${carId}`,
  'fault-talk': ({ carId }) => `/cars/${carId}/fault-finding`,
  'open-work': ({ carId }) => `/cars/${carId}/work`,
  'visit-form': ({ topId }) => `/tops/${topId}/visit`,
  'bench-sheet': ({ topId }) => `/tops/${topId}/bench-sheet`,
  booking: ({ topId }) => `/tops/${topId}/booking`,
  lives: () => '/washers',
  chances: () => '/calls/chances',
  bench: () => '/bench',
  letters: () => '/letters',
};

it('are led to from the foot of every page that goes by them, and stand there with their marks', async () => {
  const figures = (await desk.open('/settings/figures')).html;
  for (const [page, address] of Object.entries(ADDRESSES)) {
    const { html, status } = await desk.open(address(ids));
    expect([page, status]).toEqual([page, 200]);
    const foot = /<footer class="numbers[^>]*>(.*?)<\/footer>/s.exec(html)?.[1] ?? '';
    const led = [...foot.matchAll(/href="\/settings\/figures#([\w-]+)"/g)].map(([, id]) => id);
    const named = (PAGE_RULES[page as keyof typeof PAGE_RULES] ?? []).map((rule) => `rule-${rule}`);
    expect([page, led]).toEqual([page, named]);
    expect(led.length).toBeGreaterThan(0);
  }
  const places = Object.values(PAGE_RULES).flat();
  const missing = places.filter((rule) => !figures.includes(`id="rule-${rule}"`));
  expect(missing).toEqual([]);
});

it('belong to rules that there are, none of them made up', () => {
  const rules = new Set(RULES.map(({ name }) => name));
  expect(
    Object.values(PAGE_RULES).flatMap((names) => names.filter((one) => !rules.has(one))),
  ).toEqual([]);
});

it.each(RULES.map((rule) => [rule.name, rule] as const))(
  'behind %s are told by their marks, each of them',
  (_, rule) => {
    const marks = figureNamesOf(rule).flatMap((name) => figureNamed(name)?.mark ?? []);
    const told = marksInWords(rule).join();
    for (const mark of MARKS) {
      const times = marks.filter((one) => one === mark).length;
      expect([mark, new RegExp(`\\b${times} ${mark}[;.]`).test(told)]).toEqual([mark, times > 0]);
    }
  },
);

it.each([
  ['interval', { keeping: { place: 'outdoors', salt: 'by-sea', use: 'summer' } }],
  ['folded-clock', { zone: 'UTC', limitDays: 3, entries: [], at: '2026-01-01T00:00:00Z' }],
  ['fault-finding', { seen: ['fluid-traces'] }],
  ['hole', { thread: 'M6', diametersMm: [6.9, 6.6], use: 'fixing' }],
  ['corrosion', { temperatureC: 10, humidityPct: 75, so2: 10, chloride: 5 }],
])('end the sum of %s', (name, input) => {
  const words = triableRule(name)?.trial.run(input).words ?? [];
  expect(words.at(-1)).toMatch(/^the numbers behind it: \d+ .* GET \/v1\/rules$/);
});
