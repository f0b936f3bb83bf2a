import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runnable } from '../../setup/runnable.ts';
import type { Look } from './axe-look.ts';
import { findsOn } from './axe-look.ts';
import type { DemoPages } from './demo-pages.ts';
import { executablePath, openDemoPages } from './demo-pages.ts';
import { NAMES } from './page-names.ts';

/** What a finger meets; links inside a sentence are exempt (WCAG 2.2, 2.5.8). */
const TARGETS =
  'button, .button, .quiet, .place, .dial, summary, .tick, .find input, .field input:not([type=radio]), select, textarea';
const TOO_LOW = `[...document.querySelectorAll('${TARGETS}')]
  .filter((target) => target.checkVisibility() && target.getBoundingClientRect().height < 44)
  .map((target) => target.outerHTML.slice(0, 120))`;

// What another width or scheme can change: colours, where things stand, how near to each other, and what
// has to be scrolled.
const rules = ['color-contrast', 'target-size', 'scrollable-region-focusable'];
const LOOKS: readonly Look[] = [
  { colorScheme: 'light', width: 320 },
  { colorScheme: 'light', width: 768, rules },
  { colorScheme: 'light', width: 1280, rules },
  { colorScheme: 'dark', width: 320, rules },
  { colorScheme: 'dark', width: 1280, rules },
];

describe.runIf(runnable('FOLDKEEP_BROWSER', [executablePath]))('pages in every window', () => {
  let demo: DemoPages;
  beforeAll(async () => {
    demo = await openDemoPages();
  }, 120_000);
  afterAll(() => demo.close());

  it('fit a phone, a tablet and a desk, with targets a thumb can hit', async () => {
    for (const width of [320, 768, 1280]) {
      await demo.eachPage(await demo.contextFor('light', width), async (name, page) => {
        const wide = await page.evaluate('document.documentElement.scrollWidth');
        expect([name, wide]).toEqual([name, width]);
        expect([name, await page.evaluate(TOO_LOW)]).toEqual([name, []]);
      });
    }
  }, 400_000);

  it.each(NAMES)(
    'the %s page has no fault that axe-core finds in any, target size included',
    async (name) => {
      expect(await findsOn(demo, name, LOOKS)).toEqual([]);
    },
    120_000,
  );
});
