import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runnable } from '../../setup/runnable.ts';
import type { Look } from './axe-look.ts';
import { findsOn } from './axe-look.ts';
import type { DemoPages } from './demo-pages.ts';
import { executablePath, openDemoPages } from './demo-pages.ts';
import { NAMES } from './page-names.ts';
import { NO_PAGE, routeOf, routesOf } from './page-routes.ts';

// Every page, in every window and scheme, is in the long looks.
const LOOK: readonly Look[] = [{ colorScheme: 'light', width: 320 }];

describe.runIf(runnable('FOLDKEEP_BROWSER', [executablePath]))('pages in a browser', () => {
  let demo: DemoPages;
  beforeAll(async () => {
    demo = await openDemoPages();
  }, 120_000);
  afterAll(() => demo.close());

  it('are all looked at: every address that answers with a page', async () => {
    expect(Object.keys(demo.pages).toSorted()).toEqual([...NAMES].toSorted());
    const routes = routesOf(demo.server.printRoutes({ commonPrefix: false })).filter(
      (route) => !NO_PAGE.test(route),
    );
    expect(routes.length).toBeGreaterThan(75);
    const seen = new Set(Object.values(demo.pages).map((path) => routeOf(path, routes)));
    expect(routes.filter((route) => !seen.has(route))).toEqual([]);
  });

  it('have no fault that axe-core finds, target size included, on the day’s page', async () => {
    expect(await findsOn(demo, 'today', LOOK)).toEqual([]);
  });
});
