import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { App } from '../../src/app.ts';
import { buildApp } from '../../src/app.ts';
import { readSettings, SettingsRefused } from '../../src/config.ts';
import { startClockwork } from '../../src/cron/clockwork.ts';
import { addMinutes } from '../../src/domain/calendar/instant.ts';
import { smtpSender } from '../../src/mail/sender.ts';
import { readTray } from '../../src/mail/tray.ts';
import { tokenOf } from '../../src/mail/verp.ts';
import { openPostOffice, MAIL_FROM, NOON } from './post-office.ts';
import { startSink } from './sink.ts';
import type { Manners, Sink } from './sink.ts';

let folder: string;
let open: { close(): Promise<void> }[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-app-'));
});
afterEach(async () => {
  for (const thing of open.toReversed()) await thing.close();
  open = [];
  rmSync(folder, { recursive: true, force: true });
});

const databaseUrl = () => `file:${join(folder, 'records.db')}`;

async function mailServer(manners: Manners = {}): Promise<Sink> {
  const sink = await startSink(manners);
  open.push(sink);
  return sink;
}

/** Planned letters in the database that the program is about to open. */
async function lettersWaiting(count: number): Promise<void> {
  const office = await openPostOffice(databaseUrl());
  for (let i = 0; i < count; i++) await office.household(`o${i}@example.net`);
  expect(await office.round()).toBe(count);
  await office.close();
}

/** The program with its settings from an environment, at an instant that moves as told. */
async function program(env: Record<string, string>): Promise<{ app: App; at(now: string): void }> {
  let now = NOON;
  const common = {
    DATABASE_URL: databaseUrl(),
    MAIL_TRAY: join(folder, 'tray'),
    LOG_LEVEL: 'silent',
  };
  const app = await buildApp(readSettings({ ...common, ...env }), { now: () => now });
  open.push(app);
  return {
    app,
    at: (instant) => {
      now = instant;
    },
  };
}

const statesIn = async (app: App) =>
  (await app.store.records.letter.findMany({ orderBy: { id: 'asc' } })).map(({ state }) => state);

describe('what the settings say about delivery', () => {
  test('letters leave at the rate of MAIL_BURST and MAIL_PER_MINUTE, over all runs', async () => {
    await lettersWaiting(5);
    const sink = await mailServer();
    const { app, at } = await program({
      SMTP_URL: sink.url,
      MAIL_BURST: '2',
      MAIL_PER_MINUTE: '1',
    });
    await app.deliver();
    await app.deliver();
    expect(sink.taken()).toBe(2);
    at(addMinutes(NOON, 1));
    await app.deliver();
    await app.deliver();
    expect(sink.taken()).toBe(3);
    at(addMinutes(NOON, 3));
    await app.deliver();
    expect(sink.taken()).toBe(5);
    expect(new Set(await statesIn(app))).toEqual(new Set(['delivered']));
  });

  test('one receiving domain has its own rate, by the clockwork too', async () => {
    await lettersWaiting(4);
    const sink = await mailServer();
    const rates = { MAIL_DOMAIN_BURST: '3', MAIL_DOMAIN_PER_MINUTE: '1' };
    const { app } = await program({ SMTP_URL: sink.url, ROUND_CRON: 'off', ...rates });
    app.startClock();
    const settled = (states: string[]) => states.filter((state) => state === 'delivered').length;
    await vi.waitFor(async () => expect(settled(await statesIn(app))).toBe(3), 10_000);
    const waiting = await app.store.records.letter.findFirst({ where: { state: 'planned' } });
    expect(waiting).toMatchObject({ attempts: 0, nextTryAt: addMinutes(NOON, 1) });
  });

  test('the mail tray knows no limits', async () => {
    await lettersWaiting(5);
    const { app } = await program({ MAIL_BURST: '1', MAIL_PER_MINUTE: '1' });
    await app.deliver();
    expect(await readTray(join(folder, 'tray'))).toHaveLength(5);
  });

  test('BOUNCE_ADDRESS is the return path, with the letter’s own id behind a plus', async () => {
    await lettersWaiting(2);
    const sink = await mailServer();
    const { app } = await program({ SMTP_URL: sink.url, BOUNCE_ADDRESS: 'returns@example.com' });
    await app.deliver();
    const letters = await app.store.records.letter.findMany();
    expect(new Set(sink.returnPaths.map((path) => tokenOf(path)))).toEqual(
      new Set(letters.map(({ id }) => id)),
    );
    expect(sink.returnPaths.every((path) => /^returns\+.+@example\.com$/.test(path))).toBe(true);
  });

  test('without BOUNCE_ADDRESS reports go to the sender’s address', async () => {
    await lettersWaiting(1);
    const sink = await mailServer();
    const { app } = await program({ SMTP_URL: sink.url, MAIL_FROM: 'Care <care@example.com>' });
    await app.deliver();
    expect(sink.returnPaths).toEqual(['care@example.com']);
  });

  test('impossible rates stop the start, each by its name', () => {
    const rates = { MAIL_BURST: '0', MAIL_PER_MINUTE: 'fast', MAIL_DOMAIN_PER_MINUTE: '1.5' };
    const read = () => readSettings(rates);
    expect(read).toThrow(SettingsRefused);
    expect(read).toThrow(/MAIL_BURST must be a whole number of letters from 1 to 100000/);
    expect(read).toThrow(/MAIL_PER_MINUTE must be a whole number of letters a minute/);
    expect(read).toThrow(/MAIL_DOMAIN_PER_MINUTE must be a whole number/);
  });
});

describe('a stop while a slow mail server ponders', () => {
  test('finishes what is in flight; the rest waits, none is in doubt', async () => {
    await lettersWaiting(12);
    const sink = await mailServer({ pondersMs: 400 });
    const { app } = await program({ SMTP_URL: sink.url, ROUND_CRON: 'off' });
    app.startClock();
    // The first letter goes alone; the stop comes while several are pondered.
    await vi.waitFor(() => expect(sink.pondered()).toBeGreaterThan(1), 10_000);
    await app.close();
    expect(sink.pondered()).toBe(0);
    const taken = sink.taken();
    expect(taken).toBeGreaterThan(1);
    expect(taken).toBeLessThan(12);
    const after = await program({});
    const letters = await after.app.store.records.letter.findMany();
    const delivered = letters.filter(({ state }) => state === 'delivered');
    expect(new Set(delivered.map(({ messageId }) => messageId))).toEqual(
      new Set(sink.copies.keys()),
    );
    for (const letter of letters.filter(({ state }) => state !== 'delivered')) {
      expect(letter).toMatchObject({ state: 'planned', attempts: 0, startedAt: null });
    }
  });

  test('one that never answers is broken off, and its letter is of unknown fate', async () => {
    const sink = await mailServer({ pondersMs: 60_000 });
    const office = await openPostOffice(databaseUrl());
    open.push(office);
    await office.household('ada@example.net');
    await office.round();
    const sender = smtpSender({ url: sink.url, patience: { close: 300 } });
    const silent = { info: () => undefined, warn: () => undefined, error: () => undefined };
    const clocks = {
      roundCron: null,
      erasedFile: null,
      deliveryCron: '* * * * *',
      delivery: { mailFrom: MAIL_FROM },
    };
    const clockwork = startClockwork(office.context, sender, clocks, silent as never);
    await vi.waitFor(() => expect(sink.pondered()).toBe(1), 10_000);
    await Promise.all([clockwork.stop(), sender.close()]);
    expect([sink.pondered(), sink.taken()]).toEqual([1, 0]);
    expect(await office.letter()).toMatchObject({ state: 'unknown', resends: 0, leaseToken: null });
  });
});
