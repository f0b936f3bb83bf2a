import { mkdtempSync, rmSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import type { FastifyInstance } from 'fastify';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { traySender } from '../../src/mail/tray.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import {
  inviteToScenario,
  loadScenario,
  makeScenarioKeys,
} from '../../src/usecases/scenario/load-scenario.ts';
import {
  askToCareDay,
  placeByHand,
  readCareDayDesk,
} from '../../src/usecases/care-days/care-day-list.ts';
import { planCareDay } from '../../src/usecases/care-days/keep-care-days.ts';
import { draftClubLetter } from '../../src/usecases/club/club-letters.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { logCall } from '../../src/usecases/day/log-call.ts';
import { redraftEstimate } from '../../src/usecases/estimates/make-estimate.ts';
import { handIn } from '../../src/usecases/tables/import-runs.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { callerOf } from '../../src/usecases/organisations/organisations.ts';
import { comer } from '../people/comers.ts';
import { runnable } from '../setup/runnable.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';
import { linkFor } from './link-for.ts';
import { serverFor } from './pages-server.ts';

const executablePath = '/usr/bin/chromium';

/** What a finger meets; links inside a sentence are exempt (WCAG 2.2, 2.5.8). */
const TARGETS =
  'button, .button, .quiet, .place, .dial, summary, .tick, .find input, .field input:not([type=radio]), select, textarea';
const TOO_LOW = `[...document.querySelectorAll('${TARGETS}')]
  .filter((target) => target.checkVisibility() && target.getBoundingClientRect().height < 44)
  .map((target) => target.outerHTML.slice(0, 120))`;

const NAMES = [
  'front',
  'sign-in',
  'reference',
  'today',
  'tops',
  'top',
  'car',
  'tray',
  'bring a table',
  'a table',
  'take out',
  'start',
  'frames',
  'a frame',
  'letter',
  'unknown link',
  'owner',
  'German owner',
  'card',
  'stop',
  'find',
  'visit form',
  'refused visit form',
  'booking',
  'booked visit',
  'weeks to offer',
  'owner desk',
  'owner link',
  'new car',
  're-cover',
  'washers',
  'keys',
  'sign-ins',
  'people-changes',
  'retention',
  'privacy',
  'owner data',
  'people',
  'me',
  'care day',
  'join',
  'bench',
  'stock',
  'a part',
  'prices',
  'parts taken',
  'advice',
  'letter kinds',
  'letter kind',
  'letters to come',
  'letters',
  'settings',
  'figures',
  'estimates',
  'estimate',
  'estimate draft',
  'photos',
  'calls',
  'chances',
  'call',
  'letters to an owner',
  'tray letter',
  'fault talk',
  'fault talk at a car',
  'open work',
  'change car',
  'change top',
  'bench sheet',
  'shared',
  'visit record',
  'visit put right',
  'visit done',
  'hours and closures',
  'all changes',
  'asked estimate',
  'answered estimate',
  'days to choose',
  'sharing',
  'data for the owner',
  'members',
  'member',
  'club letters',
  'club letter',
  'faults by pattern',
  'care days of a club',
  'new care day',
  'changed care day',
  'rota',
  'group order',
  'care day result',
  'care day bench',
  'times to choose',
  'own cars',
  'own sharing',
] as const;
type Name = (typeof NAMES)[number];

/** Whose pages they are that are not the shop's. */
const OTHERS: Partial<Record<Name, 'club' | 'private'>> = {
  members: 'club',
  member: 'club',
  'club letters': 'club',
  'club letter': 'club',
  'faults by pattern': 'club',
  'care days of a club': 'club',
  'new care day': 'club',
  'changed care day': 'club',
  rota: 'club',
  'group order': 'club',
  'care day result': 'club',
  'care day bench': 'club',
  'own cars': 'private',
  'own sharing': 'private',
};

/** What answers a GET and is no page to look at: files, pictures, scripts, feeds, what machines watch. */
const NO_PAGE =
  /^\/(?:\*|v1\/.*|healthz|readyz|metrics|home|.*\.(?:js|css|json|ics|csv|eml)|photos\/.*)$/;

/** Every address that answers a GET, as the router prints it. */
function routesOf(printed: string): string[] {
  const above: string[] = [];
  return printed.split('\n').flatMap((line) => {
    const [, indent = '', part = '', methods = ''] =
      /^((?:│ {3}| {4})*)(?:├── |└── )(\S*)(?: \(([^)]*)\))?/.exec(line) ?? [];
    if (part === '') return [];
    const depth = indent.length / 4;
    above.length = depth;
    const path = `${above[depth - 1] ?? ''}${part}`;
    above.push(path);
    return methods.split(', ').includes('GET') ? [path] : [];
  });
}

/** The route that an address takes: of all that fit, the one with most fixed parts. */
function routeOf(url: string, routes: readonly string[]): string | undefined {
  const [path = ''] = url.split(/[?#]/);
  const fixed = (route: string) => route.split('/').filter((part) => !part.startsWith(':')).length;
  return routes
    .filter((route) =>
      new RegExp(`^${route.replaceAll(/:\w+(?:\([^)]*\))?/g, '[^/]+')}$`).test(path),
    )
    .toSorted((a, b) => fixed(b) - fixed(a))[0];
}

// What is folded up is looked at too; one operation and one shape of the reference stand for all,
// since they come from one template, and the letter in its frame is looked at with the letters.
const TO_LOOK_AT = `document.querySelectorAll('iframe').forEach((one) => one.remove());
  document.querySelectorAll('.operation').forEach((one, i) => i < 2 || one.remove());
  document.querySelectorAll('section[id^=shape]').forEach((one, i) => i < 2 || one.remove());
  document.querySelectorAll('details').forEach((one) => { one.open = true; });`;

/** Widths and schemes of a look; what differs beyond the first is where things stand and their colours. */
const LOOKS = [
  ['light', 320],
  ['dark', 320],
  ['light', 768],
  ['light', 1280],
  ['dark', 1280],
] as const;

const CARE_DAY = {
  heldOn: '2026-07-11',
  place: 'The hall behind the pub',
  from: '09:00',
  until: '16:00',
  breaks: [{ from: '12:30', until: '13:15' }],
  benches: 2,
  helpers: [{ name: 'Ann Rivet' }, { name: 'Ada Byrne', from: '10:00', until: '13:00' }],
  handMinutes: 40,
  poweredMinutes: 60,
  stepMinutes: 20,
};

const TABLE = {
  name: 'our cars.csv',
  bytes: Buffer.from(
    'Reg;Customer;Mail;Hood fitted;Remarks\nDEMO 900;Ada Quill;ada@example.org;03/04/2026;tea\nDEMO 901;Bea;none;;',
  ),
};

describe.runIf(runnable('FOLDKEEP_BROWSER', [executablePath]))('pages in a browser', () => {
  let shop: Workshop;
  let server: FastifyInstance;
  let browser: Browser;
  let folder: string;
  let base: string;
  let token: string;
  const tokens: Partial<Record<'club' | 'private', string>> = {};
  const pages: Partial<Record<Name, string>> = {
    front: '/',
    'sign-in': '/sign-in',
    reference: '/reference',
    today: '/today',
    tops: '/tops',
    tray: '/tray',
    'unknown link': '/o/unknown',
    find: '/find?q=a',
    'weeks to offer': '/diary/plan',
    'new car': '/new',
    calls: '/calls',
    chances: '/calls/chances',
    washers: '/washers',
    bench: '/bench',
    keys: '/keys',
    'sign-ins': '/sign-ins',
    'people-changes': '/trail/people',
    people: '/people',
    me: '/me',
    'care day': '/care-day',
    stock: '/stock',
    'a part': '/stock/washer-pair',
    prices: '/settings/prices',
    letters: '/letters',
    estimates: '/estimates',
    settings: '/settings',
    advice: '/advice?in=de',
    'letter kinds': '/letter-kinds',
    'letter kind': '/letter-kinds/visit-booked?in=de',
    'letters to come': '/coming-letters',
    figures: '/settings/figures',
    retention: '/settings/retention',
    'bring a table': '/import',
    'take out': '/export',
    start: '/start',
    members: '/members',
    'club letters': '/club-letters',
    'faults by pattern': '/pattern-faults',
    'care days of a club': '/care-day',
    'new care day': '/care-day/new',
    'own cars': '/mine',
    'own sharing': '/mine/sharing',
    'hours and closures': '/diary/settings',
    'all changes': '/trail',
    frames: '/patterns',
    'a frame': '/patterns/draw?of=two-seat-manual',
  };
  /** What is pressed on a page before it is looked at. */
  const press: Partial<Record<Name, (page: Page) => Promise<void>>> = {
    'refused visit form': async (page) => {
      await page.fill('#minutes', 'two hours');
      await page.locator('.pivots details:not([open]) > summary').first().click();
      await page.locator('.pivots details[open] input[inputmode=decimal]').first().fill('-3');
      await page.getByRole('button', { name: 'Record the visit' }).first().click();
      await page.getByRole('alert').waitFor();
    },
    'owner link': async (page) => {
      await page.getByRole('button', { name: 'Make a link' }).click();
      await page.getByRole('status').waitFor();
    },
  };

  beforeAll(async () => {
    shop = await openWorkshop('2026-06-12T09:00:00.000Z');
    const { context } = shop;
    const { records } = context.store;
    folder = mkdtempSync(join(tmpdir(), 'foldkeep-look-'));
    await loadScenario(context);
    await planRound(context);
    const sender = traySender(folder);
    const mailFrom = { name: 'Shop', address: 'shop@example.org' };
    await deliverLetters(context, sender, { mailFrom });
    await sender.close();
    const keys = await makeScenarioKeys(context);
    const link = new URL((await inviteToScenario(context)) ?? '');
    const [{ key } = { key: '' }] = keys;
    const own = await callerOf(context, key);
    token =
      (await comer(shop, 'manager', 'you2@example.org', own?.organisationId)).cookie.split(
        '=',
      )[1] ?? '';
    pages['join'] = link.pathname;
    if (own !== null) pages['a table'] = `/import/${await handIn(context, own, TABLE, {})}`;
    server = await serverFor(context, { publicUrl: 'http://127.0.0.1:8620', mailTray: folder });
    await server.listen({ host: '127.0.0.1', port: 0 });
    base = `http://127.0.0.1:${(server.server.address() as AddressInfo).port}`;
    const folded = await records.positionEntry.findFirstOrThrow({
      where: { position: 'folded', at: { gte: '2026-06-05' } },
    });
    const car = await records.car.findUniqueOrThrow({ where: { id: folded.carId } });
    const german = await records.owner.findFirstOrThrow({ where: { language: 'de' } });
    const visit = await records.visit.findFirstOrThrow({
      where: { state: 'done', organisationId: car.organisationId, swayMm: { not: null } },
    });
    const estimate = await records.estimate.findFirstOrThrow({ where: { state: 'answered' } });
    pages['estimate'] = `/estimates/${estimate.id}`;
    if (own !== null) {
      const draft = await redraftEstimate(context, own, estimate.id);
      pages['estimate draft'] = `/estimates/${draft.id}`;
    }
    const photo = await records.photo.findFirstOrThrow();
    pages['photos'] = `/cars/${photo.carId}/photos`;
    pages['parts taken'] = `/visits/${visit.id}/parts`;
    pages['owner'] = await linkFor(shop, car.ownerId, 'owner-page');
    pages['German owner'] = await linkFor(shop, german.id, 'owner-page');
    pages['card'] = `${pages['owner']}/card`;
    pages['owner data'] = `${pages['German owner']}/data`;
    pages['privacy'] = `/privacy/${car.organisationId}`;
    pages['stop'] = await linkFor(shop, car.ownerId, 'stop', 'reminders');
    pages['top'] = `/tops/${visit.topId}`;
    const letter = await records.letter.findFirstOrThrow({
      where: { organisationId: car.organisationId },
    });
    pages['letter'] = `/letters/${letter.id}`;
    pages['letters to an owner'] = `/letters?owner=${letter.ownerId}&heap=sent`;
    pages['car'] = `/cars/${visit.carId}`;
    const booked = await records.visit.findFirstOrThrow({
      where: { state: 'booked', organisationId: car.organisationId },
    });
    const free = await records.top.findFirstOrThrow({
      where: {
        organisationId: car.organisationId,
        retiredOn: null,
        id: {
          notIn: (await records.visit.findMany({ where: { state: 'booked' } })).map(
            ({ topId }) => topId,
          ),
        },
      },
    });
    pages['visit form'] = `/tops/${visit.topId}/visit`;
    pages['refused visit form'] = pages['visit form'];
    pages['booking'] = `/tops/${free.id}/booking`;
    const ticked =
      'gap-and-clack=yes&washer-count-short=yes&cloth-stays-up=yes&side-edge-loose=yes';
    pages['fault talk'] = '/fault-finding';
    pages['fault talk at a car'] = `/cars/${visit.carId}/fault-finding?${ticked}`;
    const finding = await records.finding.findFirstOrThrow({
      where: { organisationId: car.organisationId, fault: { not: null }, outcome: 'advised' },
    });
    const found = await records.top.findUniqueOrThrow({ where: { id: finding.topId } });
    pages['open work'] = `/cars/${found.carId}/work`;
    pages['booked visit'] = `/visits/${booked.id}`;
    pages['owner desk'] = `/owners/${car.ownerId}`;
    pages['owner link'] = pages['owner desk'];
    pages['re-cover'] = `/cars/${visit.carId}/top`;
    if (own !== null) {
      const said = { carId: car.id, outcome: 'message-left', notes: 'Rings back.' } as const;
      pages['call'] = `/calls/${(await logCall(context, own, said)).id}`;
    }
    pages['change car'] = `/cars/${visit.carId}/change`;
    pages['shared'] = `/cars/${visit.carId}/shared`;
    pages['change top'] = `/tops/${visit.topId}/change`;
    pages['bench sheet'] = `/tops/${visit.topId}/bench-sheet`;
    pages['visit record'] = `/visits/${visit.id}/record`;
    pages['visit put right'] = `/visits/${visit.id}/correct`;
    pages['visit done'] = `/visits/${booked.id}/done`;
    pages['sharing'] = `${pages['owner']}/sharing`;
    pages['data for the owner'] = `/owners/${car.ownerId}/data`;
    const linkTo = async (carId: string, purpose: 'estimate' | 'book', subject: string) =>
      linkFor(
        shop,
        (await records.car.findUniqueOrThrow({ where: { id: carId } })).ownerId,
        purpose,
        subject,
      );
    const asked = await records.estimate.findFirstOrThrow({ where: { state: 'sent' } });
    pages['asked estimate'] = await linkTo(asked.carId, 'estimate', asked.id);
    pages['answered estimate'] = await linkTo(estimate.carId, 'estimate', estimate.id);
    pages['days to choose'] = await linkTo(free.carId, 'book', `top ${free.id}`);
    await club();
    const tray = await server.inject({ url: '/tray.json', cookies: { foldkeep: token } });
    pages['tray letter'] = `/tray/${tray.json().items[0].name}`;
    browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
  }, 120_000);
  /** A club with a care day, a letter and a member, and an owner who keeps her own records. */
  async function club(): Promise<void> {
    const { context } = shop;
    const { records } = context.store;
    for (const kind of ['club', 'private'] as const) {
      const { id } = await records.organisation.findFirstOrThrow({ where: { kind } });
      const { cookie } = await comer(shop, 'manager', `${kind}@example.org`, id);
      tokens[kind] = cookie.split('=')[1] ?? '';
    }
    const house = await records.organisation.findFirstOrThrow({ where: { kind: 'club' } });
    const secretary = programCaller(house.id, 'test');
    const dayId = await planCareDay(context, secretary, CARE_DAY);
    const { toAsk } = await readCareDayDesk(context, secretary, dayId);
    const free = toAsk.filter((one) => one.not === null).map(({ carId }) => carId);
    await askToCareDay(context, secretary, dayId, free.slice(0, 4));
    const { places } = await readCareDayDesk(context, secretary, dayId);
    const [place, waiting] = places;
    if (place === undefined || waiting === undefined) throw new Error('nobody comes');
    const named = { dayId, placeId: place.id, version: place.version };
    await placeByHand(context, secretary, named, { start: 10 * 60 });
    pages['rota'] = `/care-day/${dayId}`;
    pages['changed care day'] = `/care-day/${dayId}/change`;
    pages['group order'] = `/care-day/${dayId}/order`;
    pages['care day result'] = `/care-day/${dayId}/result`;
    pages['care day bench'] = `/care-day/${dayId}/places/${place.id}/work`;
    pages['times to choose'] = await linkFor(shop, waiting.ownerId, 'care-day', waiting.id);
    const said = { subject: 'The hall is booked', text: 'We meet at nine.\n\nBring your covers.' };
    pages['club letter'] = `/club-letters/${await draftClubLetter(context, secretary, said)}`;
    pages['member'] = `/owners/${place.ownerId}`;
  }
  afterAll(async () => {
    await browser.close();
    await server.close();
    await shop.close();
    rmSync(folder, { recursive: true, force: true });
  });

  const contextFor = async (colorScheme: 'light' | 'dark', width: number, name?: Name) => {
    const viewport = { width, height: 900 };
    const context = await browser.newContext({ colorScheme, viewport });
    await signInto(context, name);
    return context;
  };
  const signInto = async (context: BrowserContext, name?: Name) => {
    const other = name === undefined ? undefined : OTHERS[name];
    const value = (other === undefined ? token : tokens[other]) ?? '';
    await context.addCookies([{ name: 'foldkeep', value, url: base }]);
  };
  const eachPage = async (
    context: BrowserContext,
    look: (name: Name, page: Awaited<ReturnType<BrowserContext['newPage']>>) => Promise<void>,
  ) => {
    const page = await context.newPage();
    const spoken: string[] = [];
    page.on('console', (message) => spoken.push(message.text()));
    for (const name of NAMES) {
      await signInto(context, name);
      const path = pages[name] ?? '';
      spoken.length = 0;
      const response = await page.goto(base + path);
      expect([name, response?.status()]).toEqual([name, name === 'unknown link' ? 404 : 200]);
      // A blocked style or picture would be told on the console.
      expect(spoken.filter((words) => /Content Security|Refused/i.test(words))).toEqual([]);
      await press[name]?.(page);
      await look(name, page);
    }
    await context.close();
  };

  it.each([
    ['a desk', 1280, 900, 1],
    ['a telephone', 390, 844, 3],
  ])(
    'shows the day on the screens of %s, and on one sheet of paper',
    async (_, width, height, screens) => {
      const context = await contextFor('light', width);
      const page = await context.newPage();
      await page.goto(`${base}/today`);
      const high = Number(await page.evaluate('document.documentElement.scrollHeight'));
      expect(high).toBeLessThanOrEqual(height * screens);
      const paper = (await page.pdf({ format: 'A4' })).toString('latin1');
      expect(paper.match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(1);
      await context.close();
    },
  );

  it('are all looked at: every address that answers with a page', async () => {
    expect(Object.keys(pages).toSorted()).toEqual([...NAMES].toSorted());
    const routes = routesOf(server.printRoutes({ commonPrefix: false })).filter(
      (route) => !NO_PAGE.test(route),
    );
    expect(routes.length).toBeGreaterThan(75);
    const seen = new Set(Object.values(pages).map((path) => routeOf(path, routes)));
    expect(routes.filter((route) => !seen.has(route))).toEqual([]);
  });

  it('fit a phone, a tablet and a desk, with targets a thumb can hit', async () => {
    for (const width of [320, 768, 1280]) {
      await eachPage(await contextFor('light', width), async (name, page) => {
        const wide = await page.evaluate('document.documentElement.scrollWidth');
        expect([name, wide]).toEqual([name, width]);
        expect([name, await page.evaluate(TOO_LOW)]).toEqual([name, []]);
      });
    }
  }, 400_000);

  describe.each(NAMES)('the %s page', (name) => {
    it('has no fault that axe-core finds, target size included', async () => {
      const context = await contextFor('light', 320, name);
      const page = await context.newPage();
      await page.goto(base + (pages[name] ?? ''));
      await press[name]?.(page);
      await page.evaluate(TO_LOOK_AT);
      for (const [colorScheme, width] of LOOKS) {
        await page.emulateMedia({ colorScheme });
        await page.setViewportSize({ width, height: 900 });
        const builder = new AxeBuilder({ page }).setLegacyMode(true);
        if (colorScheme === 'light' && width === 320) {
          builder.options({ rules: { 'target-size': { enabled: true } } });
        } else {
          builder.withRules(['color-contrast', 'target-size', 'scrollable-region-focusable']);
        }
        const { violations, passes } = await builder.analyze();
        expect(passes.map(({ id }) => id)).toContain('color-contrast');
        const told = violations.map(({ id, nodes }) => [
          id,
          nodes[0]?.html,
          nodes[0]?.failureSummary,
        ]);
        expect(told).toEqual([]);
      }
      await context.close();
    }, 120_000);
  });

  it('can be used without JavaScript', async () => {
    const context = await browser.newContext({ javaScriptEnabled: false });
    const page = await context.newPage();
    await page.goto(base + pages['owner']);
    const before = await page.locator('ul.rows li').count();
    await page.getByRole('button', { name: 'I raised it' }).click();
    expect(await page.getByRole('status').textContent()).toBe('Noted: raised.');
    expect(await page.locator('ul.rows li').count()).toBe(Math.min(5, before + 1));
    await page
      .getByRole('button', { name: /^That was wrong/ })
      .first()
      .click();
    expect(await page.getByRole('status').textContent()).toContain('Taken back.');
    await context.close();
  });

  it('record an oiling at the bench without JavaScript', async () => {
    const context = await browser.newContext({ javaScriptEnabled: false });
    await context.addCookies([{ name: 'foldkeep', value: token, url: base }]);
    const page = await context.newPage();
    await page.goto(`${base}/today`);
    await page.getByRole('searchbox').fill('demo 1');
    await page.getByRole('button', { name: 'Find' }).click();
    await page
      .getByRole('link', { name: /^Top of/ })
      .first()
      .click();
    await page.getByRole('link', { name: 'Record an oiling' }).click();
    await page.getByRole('button', { name: 'Record the visit' }).first().click();
    expect(await page.getByRole('status').textContent()).toBe('The visit is recorded.');
    await context.close();
  });

  it('sign in and out in a browser, with the origin told by it', async () => {
    // People of the shop sign in as themselves by now; of the club nobody does.
    const keys = await makeScenarioKeys(shop.context);
    const key = keys.find(({ kind }) => kind === 'club')?.key ?? '';
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.goto(`${base}/today`);
    expect(page.url()).toBe(`${base}/sign-in`);
    await page.getByLabel('Your organisation’s key').fill('fk_wrong');
    await page.getByRole('button', { name: 'Sign in with the key' }).click();
    expect(await page.getByRole('alert').textContent()).toContain('There is no such key');
    await page.getByLabel('Your organisation’s key').fill(key);
    await page.getByRole('button', { name: 'Sign in with the key' }).click();
    expect(page.url()).toBe(`${base}/members`);
    expect(await page.evaluate('document.cookie')).toBe('');
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.goto(`${base}/tops`);
    expect(page.url()).toBe(`${base}/sign-in`);
    await context.close();
  });

  it('show the letter in its frame', async () => {
    const context = await contextFor('light', 1280);
    const page = await context.newPage();
    await page.goto(base + pages['letter']);
    const frame = page.frameLocator('iframe');
    await frame.locator('h1').waitFor();
    // The letter's own styles are not blocked: its sheet stands on the letter's paper.
    expect(await frame.locator('td.head').first().getAttribute('style')).toContain('padding');
    await context.close();
  });
});
