import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeKey } from '../../../src/usecases/organisations/organisations.ts';
import { runnable } from '../../setup/runnable.ts';
import type { DemoPages } from './demo-pages.ts';
import { executablePath, openDemoPages } from './demo-pages.ts';

describe.runIf(runnable('FOLDKEEP_BROWSER', [executablePath]))('pages used in a browser', () => {
  let demo: DemoPages;
  beforeAll(async () => {
    demo = await openDemoPages();
  }, 120_000);
  afterAll(() => demo.close());

  it.each([
    ['a desk', 1280, 900, 1],
    ['a telephone', 390, 844, 3],
  ])(
    'shows the day on the screens of %s, and on one sheet of paper',
    async (_, width, height, screens) => {
      const context = await demo.contextFor('light', width);
      const page = await context.newPage();
      await page.goto(`${demo.base}/today`);
      const high = Number(await page.evaluate('document.documentElement.scrollHeight'));
      expect(high).toBeLessThanOrEqual(height * screens);
      const paper = (await page.pdf({ format: 'A4' })).toString('latin1');
      expect(paper.match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(1);
      await context.close();
    },
  );

  it('can be used without JavaScript', async () => {
    const context = await demo.browser.newContext({ javaScriptEnabled: false });
    const page = await context.newPage();
    await page.goto(demo.base + demo.pages['owner']);
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
    const context = await demo.browser.newContext({ javaScriptEnabled: false });
    await context.addCookies([{ name: 'foldkeep', value: demo.token, url: demo.base }]);
    const page = await context.newPage();
    await page.goto(`${demo.base}/today`);
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
    // People of the demo's organisations sign in as themselves by now; of a new club nobody does.
    const club = { name: 'A club of nobody yet', kind: 'club' } as const;
    const { key } = await makeKey(demo.shop.context, club, 'full');
    const context = await demo.browser.newContext();
    const page = await context.newPage();
    await page.goto(`${demo.base}/today`);
    expect(page.url()).toBe(`${demo.base}/sign-in`);
    await page.getByLabel('Your organisation’s key').fill('fk_wrong');
    await page.getByRole('button', { name: 'Sign in with the key' }).click();
    expect(await page.getByRole('alert').textContent()).toContain('There is no such key');
    await page.getByLabel('Your organisation’s key').fill(key);
    await page.getByRole('button', { name: 'Sign in with the key' }).click();
    // On to the page that was asked for; home is elsewhere for a club.
    expect(page.url()).toBe(`${demo.base}/today`);
    await page.goto(`${demo.base}/home`);
    expect(page.url()).toBe(`${demo.base}/members`);
    expect(await page.evaluate('document.cookie')).toBe('');
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.goto(`${demo.base}/tops`);
    expect(page.url()).toBe(`${demo.base}/sign-in`);
    await context.close();
  });

  it('show the letter in its frame', async () => {
    const context = await demo.contextFor('light', 1280);
    const page = await context.newPage();
    await page.goto(demo.base + demo.pages['letter']);
    const frame = page.frameLocator('iframe');
    await frame.locator('h1').waitFor();
    // The letter's own styles are not blocked: its sheet stands on the letter's paper.
    expect(await frame.locator('td.head').first().getAttribute('style')).toContain('padding');
    await context.close();
  });
});
