import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { tmpdir } from 'node:os';
import { generate } from 'otplib';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { App } from '../../src/app.ts';
import { buildApp } from '../../src/app.ts';
import { readSettings } from '../../src/config.ts';
import { readTray } from '../../src/mail/tray.ts';
import { PASSWORD } from '../people/comers.ts';
import { freePort } from '../returns/free-port.ts';
import { runnable } from '../setup/runnable.ts';

const executablePath = '/usr/bin/chromium';

describe.runIf(runnable('FOLDKEEP_BROWSER', [executablePath]))(
  'a first start, on pages alone',
  () => {
    let folder: string;
    let browser: Browser;
    let app: App;
    let base: string;
    beforeAll(async () => {
      folder = mkdtempSync(join(tmpdir(), 'foldkeep-start-'));
      browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
      await start({});
    }, 60_000);
    afterAll(async () => {
      await app.close();
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    });

    async function start(env: Record<string, string>): Promise<void> {
      const port = await freePort();
      base = `http://localhost:${port}`;
      app = await buildApp(
        readSettings({
          PORT: String(port),
          PUBLIC_URL: base,
          DATABASE_URL: `file:${join(folder, 'records.db')}`,
          MAIL_TRAY: join(folder, 'tray'),
          LOG_LEVEL: 'silent',
          ...env,
        }),
      );
      await app.listen();
    }

    /** Comes in by a link with a password and the code of an authenticator. */
    async function comeIn(page: Page): Promise<void> {
      await page.locator('summary', { hasText: 'With a password' }).click();
      const secret = await page.locator('input[name=secret]').getAttribute('value');
      await page.getByLabel('Password', { exact: true }).fill(PASSWORD);
      await page.locator('input[name=code]').fill(await generate({ secret: secret ?? '' }));
      await page.getByRole('button', { name: 'Come in with the password' }).click();
    }

    it('leads from the link that is printed to the first tops', async () => {
      const link = (await app.firstLink()) ?? '';
      const context = await browser.newContext({ javaScriptEnabled: false });
      const page = await context.newPage();
      await page.goto(link);
      await page.getByLabel('Name that letters come from').fill('Elmyard Soft Tops');
      await page.getByLabel('Your name').fill('Mia Bench');
      await page.getByLabel('Your address').fill('mia@example.org');
      await comeIn(page);
      expect(page.url()).toBe(`${base}/start`);
      const lead = () => page.locator('.lead').textContent();
      expect(await lead()).toContain('4 steps are still open.');
      // Good once: the link opens nothing any more, and no start prints another.
      expect(
        (await (await browser.newContext()).newPage().then((other) => other.goto(link)))?.status(),
      ).toBe(404);
      expect(await app.firstLink()).toBeNull();

      await page.getByLabel('Mail address for answers').fill('desk@localhost');
      await page.getByRole('button', { name: 'Keep this' }).click();
      expect(await page.getByRole('alert').textContent()).toContain('Give one plain address');
      await page.getByLabel('Mail address for answers').fill('desk@example.org');
      await page.getByLabel('Telephone', { exact: true }).fill('01632 960100');
      await page.getByLabel('Postal address').fill('1 Elm Yard');
      await page.getByRole('button', { name: 'Keep this' }).click();
      expect(await lead()).toContain('3 steps are still open.');

      await page.getByRole('button', { name: 'Send a trial letter' }).click();
      expect(await page.locator('#letter').textContent()).toContain('it lies in the mail tray');
      const [letter] = await readTray(join(folder, 'tray'));
      expect(letter).toMatchObject({ subject: 'A trial letter' });
      expect(await lead()).toContain('2 steps are still open.');

      await page.getByRole('link', { name: 'Hours, closures, holidays' }).click();
      await page.locator('select[name="place/country"]').selectOption('GB');
      await page.locator('form[action="/diary/settings"] button[type=submit]').first().click();
      // Left and opened again, it still knows.
      await page.goto(`${base}/start`);
      expect(await lead()).toContain('One step is still open.');

      await page.getByRole('link', { name: 'Bring your table' }).click();
      await page.getByLabel('The file').setInputFiles({
        name: 'our cars.csv',
        mimeType: 'text/csv',
        buffer: Buffer.from(
          'Reg;Customer;Mail;Hood fitted\nFK 1;Ada Quill;ada@example.org;01/03/2026\nFK 2;Bea Thorn;bea@example.org;25/04/2026\n',
        ),
      });
      await page.getByRole('button', { name: 'Look at it' }).click();
      expect(await page.locator('#what .notice').textContent()).toContain(
        '2 lines say something of a top, but the table does not tell: frame pattern',
      );
      await page.locator('select[name="all/framePattern"]').selectOption('two-seat-manual');
      await page.locator('select[name="all/material"]').selectOption('cloth');
      await page.locator('select[name="all/window"]').selectOption('glass');
      await page.getByRole('button', { name: 'Look again' }).click();
      expect(await page.locator('#what').textContent()).toContain('2 new tops');
      await page.getByRole('button', { name: 'Take in 2 lines' }).click();
      await page.getByRole('link', { name: 'See the tops' }).click();
      expect(await page.locator('main').textContent()).toContain('FK 1');
      await page.goto(`${base}/start`);
      expect(await lead()).toContain('Everything is set up.');
      await context.close();
    }, 120_000);
  },
);
