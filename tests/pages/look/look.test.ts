import { afterAll, beforeAll, expect, it } from 'vitest';
import type { DemoHouse } from './demo-pages.ts';
import { openDemoHouse } from './demo-pages.ts';
import { NAMES } from './page-names.ts';
import { NO_PAGE, routeOf, routesOf } from './page-routes.ts';

let demo: DemoHouse;
beforeAll(async () => {
  demo = await openDemoHouse();
}, 120_000);
afterAll(() => demo.close());

// The looks themselves, in every window and scheme, are `look.long.test.ts`.
it('every address that answers with a page is looked at in a browser', async () => {
  expect(Object.keys(demo.pages).toSorted()).toEqual([...NAMES].toSorted());
  const routes = routesOf(demo.server.printRoutes({ commonPrefix: false })).filter(
    (route) => !NO_PAGE.test(route),
  );
  expect(routes.length).toBeGreaterThan(75);
  const seen = new Set(Object.values(demo.pages).map((path) => routeOf(path, routes)));
  expect(routes.filter((route) => !seen.has(route))).toEqual([]);
});
