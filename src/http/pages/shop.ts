import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { readCarPage } from '../../usecases/car-page.ts';
import type { Caller, Deed } from '../../usecases/deed.ts';
import { listDue } from '../../usecases/read-tops.ts';
import { readToday } from '../../usecases/today-page.ts';
import { readTopPage } from '../../usecases/top-page.ts';
import { carSheet } from '../../views/pages/car-sheet.ts';
import { renderPage } from '../../views/pages/render.ts';
import { todaySheet } from '../../views/pages/today-sheet.ts';
import { topSheet } from '../../views/pages/top-sheet.ts';
import { topsSheet } from '../../views/pages/tops-sheet.ts';
import { sendShopPage } from './page-answer.ts';
import { signedIn } from './session.ts';

interface Asked {
  Params: { id: string };
  Querystring: { after?: string };
}

type Answer = (caller: Caller, request: FastifyRequest<Asked>) => Promise<string>;

const TOPS_A_PAGE = 100;
// No day of the calendar is later.
const EVER = '9999-12-31';

/** The pages of a signed-in organisation. They show its records alone and change nothing. */
export function shopPages(app: FastifyInstance, deed: Deed): void {
  const show = (path: string, answer: Answer) =>
    app.get<Asked>(
      path,
      { schema: { hide: true } },
      async (request, reply): Promise<FastifyReply> => {
        const caller = await signedIn(request, deed);
        if (caller === null)
          return reply.header('cache-control', 'no-store').redirect('/sign-in', 303);
        return sendShopPage(reply, await answer(caller, request));
      },
    );
  show('/today', async (caller) =>
    renderPage('today', ...todaySheet(await readToday(deed, caller))),
  );
  show('/tops', async (caller, { query }) => {
    const asked = { until: EVER, limit: TOPS_A_PAGE, after: textOf(query.after) };
    const { items, next } = await listDue(deed, caller, asked);
    return renderPage('tops', ...topsSheet(items, next));
  });
  show('/tops/:id', async (caller, { params }) =>
    renderPage('top', ...topSheet(await readTopPage(deed, caller, cleanId(params.id)))),
  );
  show('/cars/:id', async (caller, { params }) =>
    renderPage('car', ...carSheet(await readCarPage(deed, caller, cleanId(params.id)))),
  );
}

/** A query may name a thing twice; then it names nothing. */
function textOf(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined;
}

/** No record has an id with other signs, and a database may choke on some. */
function cleanId(id: string): string {
  return /^[\w-]{1,64}$/.test(id) ? id : '-';
}
