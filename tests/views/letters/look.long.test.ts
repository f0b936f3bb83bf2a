import { AxeBuilder } from '@axe-core/playwright';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sampleLetters } from './sample-letters.ts';
import { runnable } from '../../setup/runnable.ts';

/** One kind of each build: choice of weeks, steps, advice, report. */
const LOOKED_INTO: readonly string[] = [
  'lubrication-late',
  'folded-over',
  'care-note',
  'visit-report',
];

/** Width of the page, and height of its lowest button (44 px where it has none). */
const MEASURED = `[document.documentElement.scrollWidth, Math.min(44, ...[...document.querySelectorAll(
  'a.button, a.quiet')].map((link) => link.getBoundingClientRect().height))]`;

const executablePath = '/usr/bin/chromium';

describe.runIf(runnable('FOLDKEEP_BROWSER', [executablePath]))('letters in a browser', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
  });
  afterAll(() => browser.close());
  const open = async (colorScheme: 'light' | 'dark') => {
    const context = await browser.newContext({
      colorScheme,
      viewport: { width: 390, height: 800 },
    });
    return context.newPage();
  };

  describe.each(['light', 'dark'] as const)('in %s', (colorScheme) => {
    it('fit a phone and a narrow one, with links a thumb can hit', async () => {
      const page = await open(colorScheme);
      for (const { kind, language, letter } of sampleLetters()) {
        await page.setContent(letter.html);
        for (const width of [390, 320]) {
          await page.setViewportSize({ width, height: 800 });
          const [wide, low] = await page.evaluate<[number, number]>(MEASURED);
          expect([kind, language, wide]).toEqual([kind, language, width]);
          expect(low).toBeGreaterThanOrEqual(44);
        }
      }
      await page.context().close();
    });

    it('put the scheme’s own paper behind the words', async () => {
      const page = await open(colorScheme);
      const [first] = sampleLetters();
      await page.setContent(first?.letter.html ?? '');
      const paper = await page.evaluate(
        "getComputedStyle(document.querySelector('.sheet')).backgroundColor",
      );
      expect(paper).toBe(colorScheme === 'dark' ? 'rgb(26, 33, 37)' : 'rgb(255, 255, 255)');
      const hidden = await page.locator('.preheader').isVisible();
      expect(hidden).toBe(false);
      await page.context().close();
    });

    it('have no fault that axe-core finds', async () => {
      const page = await open(colorScheme);
      for (const { kind, language, letter } of sampleLetters()) {
        if (language !== 'en' || !LOOKED_INTO.includes(kind)) continue;
        await page.setContent(letter.html);
        // A mail program puts the letter into its own page: landmarks are the program's.
        const { violations } = await new AxeBuilder({ page })
          .disableRules(['region', 'landmark-one-main'])
          .analyze();
        expect([kind, violations.map(({ id, nodes }) => [id, nodes[0]?.html])]).toEqual([kind, []]);
      }
      await page.context().close();
    }, 120_000);
  });
});
