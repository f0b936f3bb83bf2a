import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { generate } from 'otplib';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { chromium } from 'playwright-core';
import { expect } from 'vitest';
import type { App } from '../../src/app.ts';
import { buildApp } from '../../src/app.ts';
import { readSettings } from '../../src/config.ts';
import { addMinutes, msOf } from '../../src/domain/calendar/instant.ts';
import { readTray, readTrayLetter } from '../../src/mail/tray.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { PASSWORD } from '../people/comers.ts';
import { freePort } from '../returns/free-port.ts';

export const CHROMIUM = '/usr/bin/chromium';

/** A letter as its reader gets it, with the day on which it came. */
export interface Post {
  readonly on: string;
  readonly to: string;
  readonly subject: string;
  readonly text: string;
}

/** Somebody with a browser window of their own, who signs in again when asked. */
export interface Person {
  readonly page: Page;
  readonly email: string;
  secret: string;
}

/** One organisation from its first start on: the whole program, a clock that the test moves, and real windows. */
export interface Year {
  readonly base: string;
  readonly app: App;
  now(): string;
  /** Sets the clock ahead without anything happening on the way. */
  at(instant: string): void;
  /**
   * Lets time pass: rounds and deliveries are held as the clock would, two a day. Gives the letters
   * that came on the way.
   */
  until(instant: string): Promise<Post[]>;
  /** Every letter since the first start. */
  post(): readonly Post[];
  /** A window of this width that belongs to nobody yet; without JavaScript where said so. */
  person(email: string, width: number, options?: { script?: boolean }): Promise<Person>;
  /** Comes in by a link with a password and the code of an authenticator. */
  comeIn(person: Person, link: string, fill: (page: Page) => Promise<void>): Promise<void>;
  /** Opens a page; signs in on the way where the last sign-in has ended. */
  open(person: Person, path: string): Promise<Page>;
  close(): Promise<void>;
}

// What is not on the page by then is not there: pages need no script to be whole.
const PATIENCE_MS = 15_000;
// Twice a day, once of it within the hours of letters: rounds are level-triggered and miss nothing.
const EVERY_MINUTES = 12 * 60;

/** Starts an organisation of its own in an empty folder; SQLite and the mail tray, as a newcomer has them. */
export async function openYear(start: string): Promise<Year> {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-year-'));
  const tray = join(folder, 'tray');
  const browser: Browser = await chromium.launch({
    executablePath: CHROMIUM,
    args: ['--no-sandbox'],
  });
  const port = await freePort();
  const base = `http://localhost:${port}`;
  let clock = start;
  const app = await buildApp(
    readSettings({
      PORT: String(port),
      PUBLIC_URL: base,
      DATABASE_URL: `file:${join(folder, 'records.db')}`,
      MAIL_TRAY: tray,
      ERASED_FILE: join(folder, 'erased'),
      LOG_LEVEL: 'silent',
    }),
    { now: () => clock },
  );
  await app.listen();
  const windows: BrowserContext[] = [];
  const post: Post[] = [];
  const known = new Set<string>();

  async function collect(): Promise<void> {
    for (const { name } of await readTray(tray)) {
      if (known.has(name)) continue;
      known.add(name);
      const letter = await readTrayLetter(tray, name);
      if (letter === null) continue;
      const { to, subject, text } = letter;
      post.push({ on: clock.slice(0, 10), to, subject, text });
    }
  }

  async function hold(): Promise<void> {
    const { planned } = await planRound(app.context, { withLetters: false });
    await app.deliver();
    if (planned > 0 || (await readTray(tray)).length > known.size) await collect();
  }

  async function signIn(person: Person): Promise<void> {
    const { page, email, secret } = person;
    const form = page.locator('form', { has: page.locator('input[name=code]') });
    await form.locator('input[name=email]').fill(email);
    await form.locator('input[name=password]').fill(PASSWORD);
    await form.locator('input[name=code]').fill(await codeNow(secret));
    await form.getByRole('button', { name: 'Sign in' }).click();
  }

  const codeNow = (secret: string) => generate({ secret, epoch: Math.floor(msOf(clock) / 1000) });

  return {
    base,
    app,
    now: () => clock,
    at: (instant) => {
      clock = instant;
    },
    async until(instant) {
      const before = post.length;
      await hold();
      for (;;) {
        const next = addMinutes(clock, EVERY_MINUTES);
        clock = next < instant ? next : instant;
        await hold();
        if (clock === instant) return post.slice(before);
      }
    },
    post: () => post,
    async person(email, width, { script = true } = {}) {
      const window = await browser.newContext({
        viewport: { width, height: 844 },
        javaScriptEnabled: script,
        locale: 'en-GB',
      });
      windows.push(window);
      const page = await window.newPage();
      page.setDefaultTimeout(PATIENCE_MS);
      return { page, email, secret: '' };
    },
    async comeIn(person, link, fill) {
      const { page } = person;
      await page.goto(link);
      await fill(page);
      await page.locator('summary', { hasText: 'With a password' }).click();
      person.secret = (await page.locator('input[name=secret]').getAttribute('value')) ?? '';
      await page.getByLabel('Password', { exact: true }).fill(PASSWORD);
      await page.locator('input[name=code]').fill(await codeNow(person.secret));
      await page.getByRole('button', { name: 'Come in with the password' }).click();
    },
    async open(person, path) {
      const { page } = person;
      const goTo = async () => {
        const answer = await page.goto(path.startsWith('http') ? path : base + path);
        return answer?.status() ?? 0;
      };
      let status = await goTo();
      if (page.url().endsWith('/sign-in')) {
        await signIn(person);
        status = await goTo();
      }
      expect([path, status, await fits(page)]).toEqual([path, 200, 'fits']);
      return page;
    },
    async close() {
      for (const window of windows) await window.close();
      await app.close();
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Whether a page needs no sideways scroll; else by how much it is too wide. */
async function fits(page: Page): Promise<string> {
  const wide = await page.evaluate(
    'document.documentElement.scrollWidth - document.documentElement.clientWidth',
  );
  return wide === 0 ? 'fits' : `${String(wide)} px too wide`;
}

/** What the main part of a page says, as one line; what is folded away too. */
export async function words(page: Page): Promise<string> {
  return ((await page.locator('main').textContent()) ?? '').replace(/\s+/g, ' ').trim();
}

/** The subjects of letters with their days, in order. */
export const told = (letters: readonly Post[]) =>
  letters.map(({ on, subject }) => `${on} ${subject}`);

/** The link in a letter whose line or neighbour says this. */
export function linkIn({ text }: Post, path: RegExp): string {
  const links = [...text.matchAll(/https?:\/\/\S+/g)].map(([link]) => link);
  const found = links.find((link) => path.test(link));
  if (found === undefined) throw new Error(`no link ${String(path)} in:\n${text}`);
  return found;
}

/** What somebody does and reads in their window. */
export function at({ page }: Person) {
  return {
    press: (name: string | RegExp) => page.getByRole('button', { name }).first().click(),
    follow: (name: string | RegExp) => page.getByRole('link', { name }).first().click(),
    says: () => words(page),
  };
}
