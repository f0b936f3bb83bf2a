import { Readable } from 'node:stream';
import type { FastifyInstance } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { readPeopleTrail, readTrail } from '../../../usecases/trail/read-trail.ts';
import { trailTable } from '../../../usecases/trail/trail-table.ts';
import { signedIn } from '../shop/session.ts';
import type { Asking } from '../shop/shop-page.ts';
import { cleanId, refuseRight, renderFor, showPage } from '../shop/shop-page.ts';
import { trailSheet } from './trail-sheet.ts';

const ENTRIES_A_PAGE = 50;
const PEOPLE = 'people';

/** What was changed, by whom, and what stood there before: of all records or about one of them. */
export function trailPages(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/trail', async ({ caller, voice, query }) => {
    const { timeZone } = await showOrganisation(context, caller);
    const subject = subjectOf(query);
    const asked = { ...subject, limit: ENTRIES_A_PAGE, after: query('after') };
    const { items, next } = await readTrail(context, caller, asked);
    const way = { page: '/trail', asked: queryOf(subject), next };
    return renderFor(caller, 'trail', ...trailSheet(items, timeZone, way, voice));
  });
  showPage(
    app,
    context,
    '/trail/people',
    async ({ caller, voice, query }) => {
      const { timeZone } = await showOrganisation(context, caller);
      const part = { limit: ENTRIES_A_PAGE, after: query('after') };
      const { items, next } = await readPeopleTrail(context, caller, part);
      const way = { page: '/trail/people', asked: `about=${PEOPLE}`, next };
      return renderFor(caller, 'trail', ...trailSheet(items, timeZone, way, voice));
    },
    'keep-people',
  );
  app.get<{ Querystring: Record<string, unknown> }>(
    '/trail.csv',
    { schema: { hide: true } },
    async (request, reply) => {
      const caller = await signedIn(request, context);
      reply.header('cache-control', 'no-store');
      if (caller === null) return reply.redirect('/sign-in', 303);
      if (!hasRight(caller, 'read-records')) return refuseRight(request, reply, caller);
      const aboutOrganisation = textOf(request.query['about']) === PEOPLE;
      if (aboutOrganisation && !hasRight(caller, 'keep-people')) {
        return refuseRight(request, reply, caller);
      }
      const subject = aboutOrganisation
        ? 'organisation'
        : subjectOf((name) => textOf(request.query[name]));
      return reply
        .header('content-type', 'text/csv; charset=utf-8')
        .header('content-disposition', 'attachment; filename="trail.csv"')
        .header('x-content-type-options', 'nosniff')
        .send(Readable.from(trailTable(context, caller, subject)));
    },
  );
}

function textOf(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined;
}

function subjectOf(query: Asking['query']) {
  const of = (name: string) => {
    const id = query(name);
    return id === undefined ? undefined : cleanId(id);
  };
  return { carId: of('car'), ownerId: of('owner'), visitId: of('visit') };
}

function queryOf({ carId, ownerId, visitId }: ReturnType<typeof subjectOf>): string {
  const asked = { car: carId, owner: ownerId, visit: visitId };
  return new URLSearchParams(
    Object.entries(asked).flatMap(([name, id]): [string, string][] =>
      id === undefined ? [] : [[name, id]],
    ),
  ).toString();
}
