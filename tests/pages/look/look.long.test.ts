import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runnable } from '../../setup/runnable.ts';
import type { Look } from './axe-look.ts';
import { findsOn } from './axe-look.ts';
import type { DemoPages } from './demo-pages.ts';
import { executablePath, openDemoPages } from './demo-pages.ts';
import { NAMES } from './page-names.ts';

// What another width can change: where things stand, how near to each other, and what has to be scrolled.
const rules = ['color-contrast', 'target-size', 'scrollable-region-focusable'];
const LOOKS: readonly Look[] = [
  { colorScheme: 'light', width: 768, rules },
  { colorScheme: 'light', width: 1280, rules },
  { colorScheme: 'dark', width: 320, rules },
  { colorScheme: 'dark', width: 1280, rules },
];

describe.runIf(runnable('FOLDKEEP_BROWSER', [executablePath]))('pages in other windows', () => {
  let demo: DemoPages;
  beforeAll(async () => {
    demo = await openDemoPages();
  }, 120_000);
  afterAll(() => demo.close());

  it.each(NAMES)(
    'the %s page has no fault that axe-core finds in any',
    async (name) => {
      expect(await findsOn(demo, name, LOOKS)).toEqual([]);
    },
    120_000,
  );
});
