import type { AddressInfo } from 'node:net';
import type { FastifyInstance } from 'fastify';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { programCaller } from '../../src/usecases/context/context.ts';
import { firstLink, invite } from '../../src/usecases/people/invite.ts';
import { buildServer } from '../../src/http/server.ts';
import { runnable } from '../setup/runnable.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';

const executablePath = '/usr/bin/chromium';

describe.runIf(runnable('FOLDKEEP_BROWSER', [executablePath]))('passkeys in a browser', () => {
  let browser: Browser;
  let shop: Workshop;
  let server: FastifyInstance;
  let context: BrowserContext;
  let page: Page;
  let base: string;
  let device: Awaited<ReturnType<typeof authenticator>>;

  beforeAll(async () => {
    browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
  });
  afterAll(() => browser.close());
  beforeEach(async () => {
    shop = await openWorkshop(new Date().toISOString());
    // Passkeys are bound to the whole address, which is known once the server listens.
    const named = {
      ...shop.context,
      get publicUrl() {
        return base;
      },
    };
    base = 'http://localhost';
    server = await buildServer(named, {
      mailTray: null,
      ready: async () => ({ ready: true, parts: {} }),
      metrics: async () => ({ contentType: 'text/plain', text: '' }),
    });
    await server.listen({ host: '127.0.0.1', port: 0 });
    base = `http://localhost:${(server.server.address() as AddressInfo).port}`;
    context = await browser.newContext();
    page = await context.newPage();
    device = await authenticator(page);
  });
  afterEach(async () => {
    await context.close();
    await server.close();
    await shop.close();
  });

  /** A device that holds passkeys and knows its owner's finger (Chromium's virtual authenticator). */
  async function authenticator(of: Page) {
    const cdp = await of.context().newCDPSession(of);
    await cdp.send('WebAuthn.enable');
    const { authenticatorId } = await cdp.send('WebAuthn.addVirtualAuthenticator', {
      options: {
        protocol: 'ctap2',
        transport: 'internal',
        hasResidentKey: true,
        hasUserVerification: true,
        isUserVerified: true,
        automaticPresenceSimulation: true,
      },
    });
    return {
      keys: async () =>
        (await cdp.send('WebAuthn.getCredentials', { authenticatorId })).credentials,
      knowsFinger: (isUserVerified: boolean) =>
        cdp.send('WebAuthn.setUserVerified', { authenticatorId, isUserVerified }),
    };
  }

  async function invitation(): Promise<string> {
    const { organisationId } = await shop.context.store.records.accessKey.findFirstOrThrow();
    const caller = programCaller(organisationId, 'test');
    const wish = { name: 'Ada Quill', email: 'ada@example.org', role: 'manager' } as const;
    const { url } = await invite(shop.context, caller, wish, null);
    return (url ?? '').replace(shop.context.publicUrl, base);
  }

  async function comeIn(): Promise<void> {
    await page.goto(await invitation());
    await page.getByRole('button', { name: 'Make a passkey and come in' }).click();
    await page.waitForURL(/\/me/);
  }

  it('let somebody in by an invitation, and sign in again without an address', async () => {
    const faults: string[] = [];
    page.on('console', (message) => {
      if (message.type() === 'error') faults.push(message.text());
    });
    await comeIn();
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('Ada Quill');
    expect(await device.keys()).toHaveLength(1);
    // Recovery codes stand in for an authenticator, and would be of no use without a password.
    expect(await page.getByRole('button', { name: 'Make recovery codes' }).count()).toBe(0);
    await page.goto(`${base}/today`);
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.waitForURL(/\/sign-in/);
    await page.getByRole('button', { name: 'Sign in with a passkey' }).click();
    await page.waitForURL(/\/today/);
    const [row] = await shop.context.store.records.passkey.findMany();
    expect(row?.lastUsedAt).toBe(shop.context.now());
    expect(faults).toEqual([]);
  });

  it('need the finger: a device that does not know it opens nothing', async () => {
    await comeIn();
    await context.clearCookies();
    await device.knowsFinger(false);
    await page.goto(`${base}/sign-in`);
    await page.getByRole('button', { name: 'Sign in with a passkey' }).click();
    await page.getByText('The device gave no passkey').waitFor();
    expect((await page.request.get(`${base}/today`)).url()).toContain('/sign-in');
  });

  it('take each answer once, and none that was altered or is for another house', async () => {
    await comeIn();
    await context.clearCookies();
    await page.goto(`${base}/sign-in`);
    let sent: URLSearchParams | null = null;
    await page.route('**/sign-in/passkey', async (route) => {
      sent = new URLSearchParams(route.request().postData() ?? '');
      await route.abort();
    });
    await page.getByRole('button', { name: 'Sign in with a passkey' }).click();
    await expect.poll(() => sent !== null).toBe(true);
    const { step, answer } = Object.fromEntries(sent ?? []) as Record<string, string>;
    const post = async (form: object) =>
      (
        await server.inject({
          method: 'POST',
          url: '/sign-in/passkey',
          headers: { 'content-type': 'application/x-www-form-urlencoded', origin: base },
          payload: new URLSearchParams(form as Record<string, string>).toString(),
        })
      ).statusCode;
    const whole = JSON.parse(answer ?? '{}');
    const ask = async () =>
      (
        await server.inject({
          method: 'POST',
          url: '/sign-in/passkey/ask',
          headers: { origin: base },
        })
      ).json();
    // The answer to one challenge is none to another.
    expect(await post({ step: (await ask()).step, answer })).toBe(401);
    expect(await post({ step, answer })).toBe(303);
    expect(await post({ step, answer })).toBe(401);
    const other = { ...whole, response: { ...whole.response, signature: 'AAAA' } };
    expect(await post({ step: (await ask()).step, answer: JSON.stringify(other) })).toBe(401);
    expect(await post({ step: 'x', answer: 'no JSON' })).toBe(401);
    // Whoever has the passkey is told of each try with it; what names nobody's is nobody's.
    const wrong = await shop.context.store.sql.all<{ personId: string | null }>(
      `SELECT "personId" FROM "sign_in" WHERE "means" = 'passkey' AND "outcome" = 'wrong'`,
    );
    expect(wrong).toHaveLength(3);
    expect(wrong.every(({ personId }) => personId !== null)).toBe(true);
  });

  it('are added, named and removed on one’s own page; the last way in stays', async () => {
    await comeIn();
    await page.getByLabel('Name of the device').fill('bench tablet');
    await page.getByRole('button', { name: 'Add a passkey' }).click();
    await page.getByText('This device has a passkey for you already').waitFor();
    await page.getByRole('button', { name: 'Remove the passkey first passkey' }).click();
    await page.getByText('This is your only way in').waitFor();
    expect(await shop.context.store.records.passkey.count()).toBe(1);
  });

  it('make the first of all the manager of a house that they name', async () => {
    const { store } = shop.context;
    await store.write(async ({ records }) => {
      await records.accessKey.deleteMany();
      await records.organisation.deleteMany();
    });
    const url = await firstLink(shop.context);
    await page.goto((url ?? '').replace(shop.context.publicUrl, base));
    await page.getByLabel('Name that letters come from').fill('Quill Hoods');
    await page.getByLabel('Your name').fill('Ada Quill');
    await page.getByLabel('Your address').fill('Ada@Example.org');
    await page.getByRole('button', { name: 'Make a passkey and come in' }).click();
    await page.waitForURL(/\/start/);
    await page.goto(`${base}/people`);
    await page.getByText('ada@example.org; a manager; signs in by passkey (1)').waitFor();
    expect(await firstLink(shop.context)).toBeNull();
  });
});
