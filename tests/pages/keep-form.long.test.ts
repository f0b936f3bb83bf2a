import type { AddressInfo } from 'node:net';
import { AxeBuilder } from '@axe-core/playwright';
import type { FastifyInstance } from 'fastify';
import { type Browser, type BrowserContext, chromium } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { signIn } from '../../src/usecases/organisations/sign-in.ts';
import { runnable } from '../setup/runnable.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { serverFor } from './pages-server.ts';

const executablePath = '/usr/bin/chromium';

describe.runIf(runnable('FOLDKEEP_BROWSER', [executablePath]))('a visit at the bench', () => {
  let shop: Workshop;
  let server: FastifyInstance;
  let browser: Browser;
  let context: BrowserContext;
  let base: string;
  let token: string;
  let topId: string;
  let carId: string;

  beforeAll(async () => {
    browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
  }, 120_000);
  afterAll(() => browser.close());
  beforeEach(async () => {
    shop = await openWorkshop('2026-06-12T09:00:00.000Z');
    ({ topId, carId } = await fitted(shop, { top: { fittedOn: '2025-06-10' } }));
    const session = await signIn(shop.context, shop.key);
    token = session.kind === 'signed-in' ? session.token : '';
    server = await serverFor(shop.context, { publicUrl: 'http://127.0.0.1:8620' });
    await server.listen({ host: '127.0.0.1', port: 0 });
    base = `http://127.0.0.1:${(server.server.address() as AddressInfo).port}`;
    context = await browser.newContext({ viewport: { width: 390, height: 900 } });
    await context.addCookies([{ name: 'foldkeep', value: token, url: base }]);
  }, 120_000);
  afterEach(async () => {
    await context.close();
    await server.close();
    await shop.close();
  });

  const visits = async () => (await shop.get(`/v1/tops/${topId}/visits`)).body.items;

  it('brings the foot of numbers of the page that is shown in its place', async () => {
    const page = await context.newPage();
    await page.goto(`${base}/tops/${topId}/visit`);
    await page.getByRole('button', { name: 'Record the visit' }).first().click();
    await page.waitForURL(/done=visit$/);
    await page.getByRole('link', { name: 'Put it right' }).click();
    const foot = page.locator('footer.numbers');
    expect(await foot.count()).toBe(1);
    await page.fill('#notes', 'Latch stiff.');
    await page.locator('#minutes').fill('many');
    await page.getByRole('button', { name: 'Keep this' }).first().click();
    await page.getByText('Not recorded yet').waitFor();
    expect(await foot.count()).toBe(1);
    await page.locator('#minutes').fill('');
    await page.getByRole('button', { name: 'Keep this' }).first().click();
    await page.getByRole('heading', { name: 'Put this visit right?' }).waitFor();
    // That page judges nothing.
    expect(await foot.count()).toBe(0);
  }, 120_000);

  it('is kept while the line is down, and recorded once when it is back', async () => {
    const page = await context.newPage();
    await page.goto(`${base}/tops/${topId}/visit`);
    await page.fill('#notes', 'Latch stiff.');
    await context.setOffline(true);
    await page.getByRole('button', { name: 'Record the visit' }).first().click();
    await page.getByText('The line is down.').waitFor();
    expect(await visits()).toEqual([]);
    await context.setOffline(false);
    await page.waitForURL(/\/visits\/[\w-]+\/record\?done=visit$/);
    expect(await visits()).toMatchObject([{ notes: 'Latch stiff.', state: 'done' }]);
    expect(await page.evaluate('localStorage.length')).toBe(0);
  }, 120_000);

  it('is recorded once where the answer alone was lost, and sent by a page opened later', async () => {
    const page = await context.newPage();
    await page.goto(`${base}/tops/${topId}/visit`);
    await page.route('**/visit', async (route) => {
      if (route.request().method() !== 'POST') return route.continue();
      await route.fetch({ maxRedirects: 0 });
      return route.abort('connectionreset');
    });
    await page.getByRole('button', { name: 'Record the visit' }).first().click();
    await page.getByText('The line is down.').waitFor();
    expect(await visits()).toHaveLength(1);
    await page.close();
    const later = await context.newPage();
    await later.goto(`${base}/tops/${topId}`);
    await later.waitForURL(/\/visits\/[\w-]+\/record\?done=visit$/);
    expect(await visits()).toHaveLength(1);
    expect(await later.evaluate('localStorage.length')).toBe(0);
  }, 120_000);

  it('comes back in place where something in it is wrong, and can be sent again', async () => {
    const page = await context.newPage();
    await page.goto(`${base}/tops/${topId}/visit`);
    await page.fill('#minutes', 'two hours');
    await page.getByRole('button', { name: 'Record the visit' }).first().click();
    await page.getByRole('alert').waitFor();
    expect(await page.inputValue('#minutes')).toBe('two hours');
    await page.fill('#minutes', '40');
    await page.getByRole('button', { name: 'Record the visit' }).first().click();
    await page.waitForURL(/\/record\?done=visit$/);
    expect(await visits()).toMatchObject([{ minutes: 40 }]);
  }, 120_000);

  it('has pages that fit and that axe-core finds no fault in', async () => {
    const visit = { kind: 'look', doneOn: '2026-06-11', findings: [{ text: 'A seam opens.' }] };
    const { body } = await shop.post(`/v1/tops/${topId}/visits`, visit);
    const page = await context.newPage();
    const spoken: string[] = [];
    page.on('console', (message) => spoken.push(message.text()));
    for (const path of [
      `/tops/${topId}/bench-sheet`,
      `/visits/${body.id}/record`,
      `/visits/${body.id}/correct`,
      `/cars/${carId}/change`,
      `/tops/${topId}/change`,
      '/trail',
    ]) {
      for (const width of [320, 1280]) {
        await page.setViewportSize({ width, height: 900 });
        const response = await page.goto(base + path);
        expect([path, response?.status()]).toEqual([path, 200]);
        expect([path, await page.evaluate('document.documentElement.scrollWidth')]).toEqual([
          path,
          width,
        ]);
      }
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme });
        const { violations } = await new AxeBuilder({ page }).analyze();
        expect([path, violations.map(({ id, nodes }) => [id, nodes[0]?.html])]).toEqual([path, []]);
      }
    }
    expect(spoken.filter((words) => /Content Security|Refused/i.test(words))).toEqual([]);
  }, 240_000);
});
