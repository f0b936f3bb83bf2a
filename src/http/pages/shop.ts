import type { FastifyInstance } from 'fastify';
import { readCarPage } from '../../usecases/car-page.ts';
import type { Caller, Deed } from '../../usecases/deed.ts';
import { findCars } from '../../usecases/find-cars.ts';
import { listDue } from '../../usecases/read-tops.ts';
import { readToday } from '../../usecases/today-page.ts';
import { readTopPage } from '../../usecases/top-page.ts';
import { type CarLooking, carSheet } from '../../views/pages/car-sheet.ts';
import { findSheet } from '../../views/pages/find-sheet.ts';
import { renderPage } from '../../views/pages/render.ts';
import { type TodayLooking, todaySheet } from '../../views/pages/today-sheet.ts';
import { topSheet } from '../../views/pages/top-sheet.ts';
import { topsSheet } from '../../views/pages/tops-sheet.ts';
import { freshOnce } from './shop-form.ts';
import { mayRecord, showPage } from './shop-page.ts';

const TOPS_A_PAGE = 100;
const FOUND_A_PAGE = 50;
const LONGEST_SEARCH = 100;
// No day of the calendar is later.
const EVER = '9999-12-31';

/** The pages of a signed-in organisation. They show its records alone and change nothing. */
export function shopPages(app: FastifyInstance, deed: Deed): void {
  showPage(app, deed, '/today', ({ caller, query }) =>
    todayPage(deed, caller, { done: query('done') }),
  );
  showPage(app, deed, '/tops', async ({ caller, query }) => {
    const asked = { until: EVER, limit: TOPS_A_PAGE, after: query('after') };
    const { items, next } = await listDue(deed, caller, asked);
    return renderPage('tops', ...topsSheet(items, next, mayRecord(caller)));
  });
  showPage(app, deed, '/find', async ({ caller, query }) => {
    const search = (query('q') ?? '').trim().slice(0, LONGEST_SEARCH);
    const asked = { search, limit: FOUND_A_PAGE, after: query('after') };
    const found = await findCars(deed, caller, asked);
    return renderPage('find', ...findSheet({ search, ...found, records: mayRecord(caller) }));
  });
  showPage(app, deed, '/tops/:id', async ({ caller, id, query }) => {
    const facts = await readTopPage(deed, caller, id);
    return renderPage(
      'top',
      ...topSheet(facts, { done: query('done'), records: mayRecord(caller) }),
    );
  });
  showPage(app, deed, '/cars/:id', ({ caller, id, query }) =>
    carPage(deed, caller, id, { done: query('done') }),
  );
}

/** The morning page; `came` is the form of a call that comes back to be put right. */
export async function todayPage(
  deed: Deed,
  caller: Caller,
  { done, came = null }: { done?: string | undefined; came?: TodayLooking['came'] },
): Promise<string> {
  const facts = await readToday(deed, caller);
  const looking = { records: mayRecord(caller), done, once: freshOnce(), came };
  return renderPage('today', ...todaySheet(facts, looking));
}

/** The page of a car; `came` is a form of it that comes back to be put right. */
export async function carPage(
  deed: Deed,
  caller: Caller,
  id: string,
  { done, came = null }: { done?: string | undefined; came?: CarLooking['came'] },
): Promise<string> {
  const facts = await readCarPage(deed, caller, id);
  const looking = { records: mayRecord(caller), done, once: freshOnce(), came };
  return renderPage('car', ...carSheet(facts, looking));
}
