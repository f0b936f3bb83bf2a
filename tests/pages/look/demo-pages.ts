import { mkdtempSync, rmSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { expect } from 'vitest';
import { traySender } from '../../../src/mail/tray.ts';
import { deliverLetters } from '../../../src/usecases/delivery/deliver-letters.ts';
import {
  inviteToScenario,
  makeScenarioKeys,
} from '../../../src/usecases/scenario/load-scenario.ts';
import {
  askToCareDay,
  placeByHand,
  readCareDayDesk,
} from '../../../src/usecases/care-days/care-day-list.ts';
import { planCareDay } from '../../../src/usecases/care-days/keep-care-days.ts';
import { draftClubLetter } from '../../../src/usecases/club/club-letters.ts';
import { programCaller } from '../../../src/usecases/context/context.ts';
import { logCall } from '../../../src/usecases/day/log-call.ts';
import { redraftEstimate } from '../../../src/usecases/estimates/make-estimate.ts';
import { handIn } from '../../../src/usecases/tables/import-runs.ts';
import { planRound } from '../../../src/usecases/round/plan-round.ts';
import { callerOf } from '../../../src/usecases/organisations/organisations.ts';
import { comer } from '../../people/comers.ts';
import type { Workshop } from '../../setup/workshop.ts';
import { workshopOfScenario } from '../../setup/loaded-scenario.ts';
import { linkFor } from '../link-for.ts';
import { serverFor } from '../pages-server.ts';

import type { Name } from './page-names.ts';
import { NAMES, OTHERS } from './page-names.ts';

export const executablePath = '/usr/bin/chromium';

const CARE_DAY = {
  heldOn: '2026-08-15',
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
    'Reg;Customer;Mail;Hood fitted;Last service;Power hood;Remarks\nDEMO 900;Ada Quill;ada@example.org;03/04/2026;2026-05-01;perhaps;tea\nDEMO 901;Bea;none;;;;',
  ),
};

/** Where those pages stand whose address is known before anything is recorded. */
const ADDRESSES: Partial<Record<Name, string>> = {
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
export const PRESS: Partial<Record<Name, (page: Page) => Promise<void>>> = {
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

/** The demo, served, with an address for each of its pages. */
export interface DemoHouse {
  readonly shop: Workshop;
  readonly server: FastifyInstance;
  readonly base: string;
  /** The session of a manager of the shop. */
  readonly token: string;
  /** The sessions for pages that are none of the shop's. */
  readonly tokens: Readonly<Partial<Record<'club' | 'private', string>>>;
  readonly pages: Readonly<Partial<Record<Name, string>>>;
  close(): Promise<void>;
}

/** The same with a browser that sees its pages signed in as whoever they are for. */
export interface DemoPages extends DemoHouse {
  readonly browser: Browser;
  /** A window of a width and a scheme; signed in for the page that is named, else for the shop. */
  contextFor(colorScheme: 'light' | 'dark', width: number, name?: Name): Promise<BrowserContext>;
  /** Goes through all pages in one window, which is closed then. */
  eachPage(context: BrowserContext, look: (name: Name, page: Page) => Promise<void>): Promise<void>;
}

/** Loads the demo, adds what it does not tell of, and serves it. */
export async function openDemoHouse(): Promise<DemoHouse> {
  const pages = { ...ADDRESSES };
  // The instant at which the other suites take it too: it is loaded once for all.
  const shop = await workshopOfScenario('2026-07-15T12:00:00.000Z');
  const { context } = shop;
  const { records } = context.store;
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-look-'));
  await planRound(context);
  const sender = traySender(folder);
  const mailFrom = { name: 'Shop', address: 'shop@example.org' };
  await deliverLetters(context, sender, { mailFrom });
  await sender.close();
  const keys = await makeScenarioKeys(context);
  const link = new URL((await inviteToScenario(context)) ?? '');
  const [{ key } = { key: '' }] = keys;
  const own = await callerOf(context, key);
  const token =
    (await comer(shop, 'manager', 'you2@example.org', own?.organisationId)).cookie.split('=')[1] ??
    '';
  pages['join'] = link.pathname;
  if (own !== null) pages['a table'] = `/import/${await handIn(context, own, TABLE, {})}`;
  const server = await serverFor(context, { publicUrl: 'http://127.0.0.1:8620', mailTray: folder });
  await server.listen({ host: '127.0.0.1', port: 0 });
  const base = `http://127.0.0.1:${(server.server.address() as AddressInfo).port}`;
  const folded = await records.positionEntry.findFirstOrThrow({
    where: { position: 'folded', at: { gte: '2026-07-08' } },
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
  const ticked = 'gap-and-clack=yes&washer-count-short=yes&cloth-stays-up=yes&side-edge-loose=yes';
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
  pages['repair set'] = `/tops/${visit.topId}/repair-set`;
  pages['a joint'] =
    `/tops/${visit.topId}/repair-set?pivot=L-MAIN&thread=M8&across=9.6&square=8.2&leaf=24`;
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
  const tokens = await addClub(shop, pages);
  const tray = await server.inject({ url: '/tray.json', cookies: { foldkeep: token } });
  pages['tray letter'] = `/tray/${tray.json().items[0].name}`;
  return {
    shop,
    server,
    base,
    token,
    tokens,
    pages,
    close: async () => {
      await server.close();
      await shop.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Opens them in a browser. */
export async function openDemoPages(): Promise<DemoPages> {
  const house = await openDemoHouse();
  const { base, token, tokens, pages } = house;
  const browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
  const contextFor = async (colorScheme: 'light' | 'dark', width: number, name?: Name) => {
    const viewport = { width, height: 900 };
    const opened = await browser.newContext({ colorScheme, viewport });
    await signInto(opened, name);
    return opened;
  };
  const signInto = async (opened: BrowserContext, name?: Name) => {
    const other = name === undefined ? undefined : OTHERS[name];
    const value = (other === undefined ? token : tokens[other]) ?? '';
    await opened.addCookies([{ name: 'foldkeep', value, url: base }]);
  };
  const eachPage = async (
    opened: BrowserContext,
    look: (name: Name, page: Page) => Promise<void>,
  ) => {
    const page = await opened.newPage();
    const spoken: string[] = [];
    page.on('console', (message) => spoken.push(message.text()));
    for (const name of NAMES) {
      await signInto(opened, name);
      const path = pages[name] ?? '';
      spoken.length = 0;
      const response = await page.goto(base + path);
      expect([name, response?.status()]).toEqual([name, name === 'unknown link' ? 404 : 200]);
      // A blocked style or picture would be told on the console.
      expect(spoken.filter((words) => /Content Security|Refused/i.test(words))).toEqual([]);
      await PRESS[name]?.(page);
      await look(name, page);
    }
    await opened.close();
  };
  return {
    ...house,
    browser,
    contextFor,
    eachPage,
    close: async () => {
      await browser.close();
      await house.close();
    },
  };
}

/** A club with a care day, a letter and a member, and an owner who keeps her own records. */
async function addClub(
  shop: Workshop,
  pages: Partial<Record<Name, string>>,
): Promise<Partial<Record<'club' | 'private', string>>> {
  const tokens: Partial<Record<'club' | 'private', string>> = {};
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
  return tokens;
}
