import type { FastifyInstance } from 'fastify';
import { listPhotos } from '../../../usecases/photos/photos.ts';
import { readCarPage } from '../../../usecases/day/car-page.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { findCars, findOwnersWithoutCar } from '../../../usecases/tops/find-cars.ts';
import { listDue } from '../../../usecases/tops/read-tops.ts';
import { readToday } from '../../../usecases/day/today-page.ts';
import { readTopPage } from '../../../usecases/day/top-page.ts';
import type { CarView } from './car-acts.ts';
import { carSheet } from './car-sheet.ts';
import { listEstimates } from '../../../usecases/estimates/read-estimates.ts';
import { findSheet } from './find-sheet.ts';
import type { TodayView } from '../day/today-lines.ts';
import { todaySheet } from '../day/today-sheet.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { kindWords } from '../letters/letter-words.ts';
import { readSharedWithUs } from '../../../usecases/sharing/shared-with-us.ts';
import { sharedSheet } from './shared-sheet.ts';
import { topSheet } from './top-sheet.ts';
import { topsSheet } from './tops-sheet.ts';
import { freshOnce } from '../shop/shop-form.ts';
import { hasRight } from '../../../domain/people/rights.ts';
import { mayRecord, renderFor, showPage } from '../shop/shop-page.ts';

const TOPS_A_PAGE = 100;
const FOUND_A_PAGE = 50;
const LONGEST_SEARCH = 100;
// No day of the calendar is later.
const EVER = '9999-12-31';

/** The pages of a signed-in organisation. They show its records alone and change nothing. */
export function shopPages(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/today', ({ caller, query }) =>
    todayPage(context, caller, { done: query('done') }),
  );
  showPage(app, context, '/tops', async ({ caller, voice, query }) => {
    const asked = { until: EVER, limit: TOPS_A_PAGE, after: query('after') };
    const due = await listDue(context, caller, asked);
    const records = hasRight(caller, 'keep-owners');
    return renderFor(caller, 'tops', ...topsSheet(due, { records, done: query('done') }, voice));
  });
  showPage(app, context, '/find', async ({ caller, voice, query }) => {
    const search = (query('q') ?? '').trim().slice(0, LONGEST_SEARCH);
    const asked = { search, limit: FOUND_A_PAGE, after: query('after') };
    const found = await findCars(context, caller, asked);
    const records = hasRight(caller, 'keep-owners');
    // Their page is for those who keep owners.
    const owners =
      records && asked.after === undefined
        ? await findOwnersWithoutCar(context, caller, search)
        : [];
    return renderFor(caller, 'find', ...findSheet(search, found, owners, records, voice));
  });
  showPage(app, context, '/tops/:id', async ({ caller, voice, id, query }) => {
    const facts = await readTopPage(context, caller, id);
    return renderFor(
      caller,
      'top',
      ...topSheet(
        facts,
        await newestPhotos(context, caller, facts.car.id),
        {
          done: query('done'),
          records: mayRecord(caller),
          gives: hasRight(caller, 'keep-owners'),
        },
        voice,
      ),
    );
  });
  sharedPage(app, context);
  showPage(app, context, '/cars/:id', ({ caller, id, query }) =>
    carPage(context, caller, id, { done: query('done') }),
  );
}

/** What the owner of a car shares from records elsewhere. */
function sharedPage(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/cars/:id/shared', async ({ caller, voice, id }) => {
    const shared = await readSharedWithUs(context, caller, id);
    return renderFor(
      caller,
      'shared',
      ...sharedSheet(shared, id, (kind) => kindWords(voice, kind), voice),
    );
  });
}

/** The morning page; `came` is the form of a call that comes back to be put right. */
export async function todayPage(
  context: Context,
  caller: Visitor,
  { done, came = null }: { done?: string | undefined; came?: TodayView['came'] },
): Promise<string> {
  const facts = await readToday(context, caller);
  const view = { records: mayRecord(caller), done, once: freshOnce(), came };
  return renderFor(caller, 'today', ...todaySheet(facts, view, voiceFor(caller.language)));
}

/** The page of a car; `came` is a form of it that comes back to be put right. */
export async function carPage(
  context: Context,
  caller: Visitor,
  id: string,
  { done, came = null }: { done?: string | undefined; came?: CarView['came'] },
): Promise<string> {
  const facts = await readCarPage(context, caller, id);
  const { kind } = caller;
  const view = {
    records: mayRecord(caller),
    gives: hasRight(caller, 'keep-owners'),
    kind,
    done,
    once: freshOnce(),
    came,
  };
  const photos = await newestPhotos(context, caller, id);
  const estimates = await listEstimates(context, caller, id);
  const voice = voiceFor(caller.language);
  return renderFor(caller, 'car', ...carSheet(facts, { photos, estimates }, view, voice));
}

const PHOTOS_SHOWN = 8;

async function newestPhotos(context: Context, caller: Visitor, carId: string) {
  return (await listPhotos(context, caller, carId)).items.slice(0, PHOTOS_SHOWN);
}
