import cookie from '@fastify/cookie';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Deed } from '../../usecases/deed.ts';
import { STYLE } from '../../views/pages/style.ts';
import { sendProblem } from '../problem.ts';
import type { Doorway } from '../doorway.ts';
import { countGuesses } from './guesses.ts';
import { bookedVisitPages } from './booked-visit.ts';
import { bookingPages } from './booking.ts';
import { bookPages } from './book.ts';
import { calendarFeed } from './calendar-feed.ts';
import { carForms } from './car-forms.ts';
import { answerWithPages } from './page-answer.ts';
import { newCarPages } from './new-car.ts';
import { offersPlanPages } from './offers-plan.ts';
import { ownerDeskPages } from './owner-desk.ts';
import { ownerPages } from './owner.ts';
import { frontPage, referenceRoutes } from './reference.ts';
import { shopPages } from './shop.ts';
import { signInPages } from './sign-in.ts';
import { stopPages } from './stop.ts';
import { trayPages } from './tray.ts';
import { visitForms } from './visit-form.ts';

const WRONG_LINKS_A_MINUTE = 30;
const WRONG_KEYS_A_MINUTE = 10;

/** Pages for people, and the addresses that machines watch. None of them needs a key. */
export async function pageRoutes(
  app: FastifyInstance,
  deed: Deed,
  doorway: Doorway,
): Promise<void> {
  const hidden = { schema: { hide: true } };
  app.get('/healthz', hidden, async () => ({ status: 'ok' }));
  app.get('/readyz', hidden, async (_request, reply) => {
    const state = await doorway.ready();
    if (state.ready) return { status: 'ready', parts: state.parts };
    const words = Object.entries(state.parts).map(([part, word]) => `${part}: ${word}`);
    return sendProblem(reply, 503, words.join('; '));
  });
  app.get('/metrics', hidden, async (_request, reply) => {
    const { contentType, text } = await doorway.metrics();
    return reply.header('content-type', contentType).send(text);
  });
  app.get('/style.css', hidden, async (_request, reply) =>
    reply
      .header('content-type', 'text/css; charset=utf-8')
      .header('cache-control', 'public, max-age=31536000, immutable')
      .header('x-content-type-options', 'nosniff')
      .send(STYLE.css),
  );
  referenceRoutes(app, deed.publicUrl);
  await app.register(peoplePages(deed, doorway), { logSerializers: SERIALIZERS });
}

function peoplePages(deed: Deed, { mailTray }: Doorway) {
  return async (app: FastifyInstance): Promise<void> => {
    answerWithPages(app);
    await app.register(cookie);
    const wrongLink = await countGuesses(app, WRONG_LINKS_A_MINUTE);
    await app.register(async (scope) => stopPages(scope, deed, wrongLink));
    ownerPages(app, deed, wrongLink);
    bookPages(app, deed, wrongLink);
    calendarFeed(app, deed, wrongLink);
    frontPage(app, mailTray !== null);
    signInPages(app, deed, await countGuesses(app, WRONG_KEYS_A_MINUTE));
    shopPages(app, deed);
    carForms(app, deed);
    visitForms(app, deed);
    bookedVisitPages(app, deed);
    bookingPages(app, deed);
    offersPlanPages(app, deed);
    ownerDeskPages(app, deed);
    newCarPages(app, deed);
    if (mailTray !== null) trayPages(app, deed, mailTray);
  };
}

// A serializer may give back any JSON; the type of this option knows of strings alone.
const SERIALIZERS = { req: withoutTokens } as unknown as Record<string, () => string>;

/** A request as the log may have it: a link's token opens a page, so it is left out. */
function withoutTokens(request: FastifyRequest) {
  const { method, url, host, ip } = request;
  return {
    method,
    url: url.replace(/^(\/(?:u|o|b|calendar)\/)[^/?]+/, '$1-'),
    host,
    remoteAddress: ip,
  };
}
