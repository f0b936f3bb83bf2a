import { afterAll, beforeAll, expect, it } from 'vitest';
import { RULES, triableRule } from '../../src/usecases/rules/all-rules.ts';
import { figureNamesOf, marksInWords } from '../../src/usecases/rules/figures-of-rule.ts';
import { figureNamed } from '../../src/domain/figure-tables/figure-tables.ts';
import { MARKS } from '../../src/domain/figures/figure.ts';
import { numbersOf, PAGE_RULES } from '../../src/http/pages/frame/page-rules.ts';
import { voiceFor } from '../../src/views/words/voice.ts';
import { isEnglish } from './languages/english-texts.ts';
import { sheetOf } from './languages/sources.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';
import { browse, linkFor } from './link-for.ts';

let shop: Workshop;
let desk: Desk;
let ids: { carId: string; topId: string; ownerId: string; visitId: string };
beforeAll(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  const of = await fitted(shop);
  const look = { kind: 'look', doneOn: '2026-06-01' };
  const { id: visitId } = (await shop.post(`/v1/tops/${of.topId}/visits`, look)).body;
  ids = { ...of, visitId };
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
  'repair-set': ({ topId }) => `/tops/${topId}/repair-set`,
  lives: () => '/washers',
  chances: () => '/calls/chances',
  bench: () => '/bench',
  letters: () => '/letters',
  calls: () => '/calls',
  'letters-coming': () => '/coming-letters',
  'letter-kinds': () => '/letter-kinds',
  stock: () => '/stock',
  prices: () => '/settings/prices',
  members: () => '/members',
  'owner-desk': ({ ownerId }) => `/owners/${ownerId}`,
  'change-car': ({ carId }) => `/cars/${carId}/change`,
  'diary-settings': () => '/diary/settings',
  retention: () => '/settings/retention',
  'visit-record': ({ visitId }) => `/visits/${visitId}/record`,
};

/**
 * Pages that judge nothing by a number or a mark: what they show was recorded, typed or set, or is how
 * somebody signs in. A page stands here or has its rules; a new one has to be decided.
 */
const JUDGES_NOTHING: readonly string[] = [
  'call',
  'card',
  'club-letter',
  'club-letters',
  'export',
  'figures',
  'figures-tried',
  'find',
  'front',
  'import',
  'import-run',
  'import-working',
  'invited',
  'join',
  'key',
  'keys',
  'letter',
  'me',
  'owner-data',
  'owner-link',
  'pattern',
  'patterns',
  'people',
  'photos',
  'privacy',
  'problem',
  'recover',
  'recovery-codes',
  'reference',
  'settings',
  'shared',
  'sharing',
  'sign-in',
  'signed-out',
  'sign-ins',
  'start',
  'stop',
  'sure',
  'trail',
  'tray',
  'tray-letter',
];

/** Pages opened by a link: they have no foot, and say in their own words whose word something is. */
const IN_OWN_WORDS: readonly string[] = [
  'book',
  'choose',
  'estimate-answer',
  'estimate-refused',
  'pattern-faults',
];

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
    // The marks stand on the page itself, a rule at a time, without another click than to unfold them.
    const told = [...foot.matchAll(/<li>.*?<\/li>/gs)].map(([line]) => wordsOf(line));
    expect([page, told.length]).toEqual([page, led.length]);
    for (const line of told) {
      expect(line).toMatch(new RegExp(`\\d+ numbers?: (?:${MARKS.join('|')})`));
      expect(line.length).toBeGreaterThan(40);
    }
  }
  const places = Object.values(PAGE_RULES).flat();
  const missing = places.filter((rule) => !figures.includes(`id="rule-${rule}"`));
  expect(missing).toEqual([]);
});

it('are decided for every page that there is', () => {
  const pages = [...sheetOf.keys()];
  const decided = [...Object.keys(PAGE_RULES), ...JUDGES_NOTHING, ...IN_OWN_WORDS];
  expect(pages.filter((page) => !decided.includes(page))).toEqual([]);
  expect(decided.filter((page) => !pages.includes(page))).toEqual([]);
  expect(new Set(decided).size).toBe(decided.length);
});

it('are told in every language, by the same marks', () => {
  for (const page of Object.keys(PAGE_RULES) as (keyof typeof PAGE_RULES)[]) {
    const [english, german] = ['en', 'de'].map((language) => numbersOf(page, voiceFor(language)));
    expect(german?.map(({ href }) => href)).toEqual(english?.map(({ href }) => href));
    expect(german?.map(({ marks }) => marks).filter(isEnglish)).toEqual([]);
  }
});

it('are said in words where a page is opened by a link and has no foot', async () => {
  const owner = await fitted(shop, {
    car: { registration: 'FLOOR 1' },
    top: { fittedOn: '2025-06-10', cover: { material: 'vinyl' }, window: 'clear-vinyl' },
  });
  const { html } = await browse(shop, 'GET', await linkFor(shop, owner.ownerId, 'owner-page'));
  const words = wordsOf(html);
  expect(html).not.toContain('class="numbers');
  // How cold is too cold, and the months between two oilings.
  expect(words).toMatch(
    /Not below -?\d+ °C.*?A shop rule for its material; the handbook comes first\./,
  );
  expect(words).toMatch(/months at most: common practice|is a shop rule/);
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
