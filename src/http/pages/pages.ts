import cookie from '@fastify/cookie';
import type { FastifyInstance } from 'fastify';
import type { Context } from '../../usecases/context/context.ts';
import { STYLE } from './frame/style.ts';
import type { ApiDescription } from '../gate/api-document.ts';
import { RETRY_AFTER, sendProblem } from '../gate/problem.ts';
import type { Doorway } from '../gate/doorway.ts';
import { countGuesses } from '../gate/guesses.ts';
import { bookedVisitPages } from './diary/booked-visit.ts';
import { bookingPages } from './diary/booking.ts';
import { bookPages } from './diary/book.ts';
import { diarySettingsPages } from './diary/settings.ts';
import { careDayPages } from './club/care-days.ts';
import { clubLetterPages } from './club/club-letters.ts';
import { memberPages } from './club/members.ts';
import { choosePages } from './club/choose.ts';
import { calendarFeed } from './diary/calendar-feed.ts';
import { carForms } from './cars/car-forms.ts';
import { answerUnknownAddresses, answerWithPages } from './frame/page-answer.ts';
import { callPages } from './cars/call.ts';
import { changeCarPages } from './cars/change-car.ts';
import { changeTopPages } from './cars/change-top.ts';
import { newCarPages } from './cars/new-car.ts';
import { benchLoadPage } from './diary/bench-load.ts';
import { offersPlanPages } from './diary/offers-plan.ts';
import { advicePage } from './owners/advice.ts';
import { ownerDeskPages } from './owners/owner-desk.ts';
import { ownerPages } from './owners/owner.ts';
import { keyPages } from './people/keys.ts';
import { letterPages } from './letters/letters.ts';
import { privacyPages } from './privacy/privacy.ts';
import { figurePages } from './settings/figures.ts';
import { retentionPages } from './settings/retention.ts';
import { settingsPages } from './settings/settings.ts';
import { sharingPages } from './owners/sharing.ts';
import { minePages } from './owners/mine.ts';
import { frontPage, referenceRoutes } from './reference/reference.ts';
import { callsPage } from './calls/calls.ts';
import { chancesPage } from './calls/chances.ts';
import { faultPages } from './faults/fault-pages.ts';
import { livesPage } from './lives/lives.ts';
import { repairSetPage } from './repairs/repair-set.ts';
import { shopPages } from './cars/shop.ts';
import { careDayPage } from './people/care-day.ts';
import { joinPages } from './people/join.ts';
import { photoPages } from './photos/photos.ts';
import { mePages } from './people/me.ts';
import { peoplePages } from './people/people.ts';
import { signInLogPage } from './people/sign-in-log.ts';
import { patternPages } from './patterns/patterns.ts';
import { startPages } from './start/start.ts';
import { exportPages } from './tables/export.ts';
import { importPages } from './tables/import.ts';
import { signInPages } from './people/sign-in.ts';
import { SCRIPTS } from './frame/script.ts';
import { answerPages } from './estimates/answer.ts';
import { estimatePages } from './estimates/estimates.ts';
import { stopPages } from './owners/stop.ts';
import { trailPages } from './trail/trail.ts';
import { trayPages } from './tray/tray.ts';
import { benchSheetPage } from './visits/bench-sheet.ts';
import { visitRecordPages } from './visits/record.ts';
import { pricesPages } from './stock/prices.ts';
import { stockPages } from './stock/stock.ts';
import { visitPartsPages } from './stock/visit-parts.ts';
import { careDayBenchPages } from './visits/care-day-bench.ts';
import { visitForms } from './visits/visit-form.ts';

const WRONG_LINKS_A_MINUTE = 30;
const WRONG_KEYS_A_MINUTE = 10;
const CHALLENGES_A_MINUTE = 30;

/** Pages for people, and the addresses that machines watch. None of them needs a key. */
export async function pageRoutes(
  app: FastifyInstance,
  context: Context,
  doorway: Doorway,
  description: ApiDescription,
): Promise<void> {
  const hidden = { schema: { hide: true } };
  app.get('/healthz', hidden, async () => ({ status: 'ok' }));
  app.get('/readyz', hidden, async (_request, reply) => {
    const state = await doorway.ready();
    if (state.ready) return { status: 'ready', parts: state.parts };
    const words = Object.entries(state.parts).map(([part, word]) => `${part}: ${word}`);
    return sendProblem(reply.header('retry-after', RETRY_AFTER), 503, words.join('; '));
  });
  app.get('/metrics', hidden, async (_request, reply) => {
    const { contentType, text } = await doorway.metrics();
    return reply.header('content-type', contentType).send(text);
  });
  for (const script of SCRIPTS) {
    app.get(script.path, hidden, async (_request, reply) =>
      reply
        .header('content-type', 'text/javascript; charset=utf-8')
        .header('cache-control', 'public, max-age=31536000, immutable')
        .header('x-content-type-options', 'nosniff')
        .send(script.source),
    );
  }
  app.get('/style.css', hidden, async (_request, reply) =>
    reply
      .header('content-type', 'text/css; charset=utf-8')
      .header('cache-control', 'public, max-age=31536000, immutable')
      .send(STYLE.css),
  );
  referenceRoutes(app, context.publicUrl, description);
  await app.register(humanPages(context, doorway));
}

function humanPages(context: Context, { mailTray, post, databaseUrl, trial }: Doorway) {
  return async (app: FastifyInstance): Promise<void> => {
    answerWithPages(app);
    await app.register(cookie);
    const wrongLink = await countGuesses(app, WRONG_LINKS_A_MINUTE);
    await app.register(async (scope) => stopPages(scope, context, wrongLink));
    advicePage(app);
    ownerPages(app, context, wrongLink);
    privacyPages(app, context, wrongLink);
    sharingPages(app, context, wrongLink);
    bookPages(app, context, wrongLink);
    choosePages(app, context, wrongLink);
    answerPages(app, context, wrongLink);
    calendarFeed(app, context, wrongLink);
    minePages(app, context);
    letterPages(app, context, mailTray !== null);
    settingsPages(app, context);
    figurePages(app, context);
    retentionPages(app, context);
    frontPage(app, mailTray !== null);
    const wrongKey = await countGuesses(app, WRONG_KEYS_A_MINUTE);
    const asked = await countGuesses(app, CHALLENGES_A_MINUTE);
    signInPages(app, context, wrongKey, asked, post ?? null);
    joinPages(app, context, wrongLink, asked);
    mePages(app, context, asked);
    peoplePages(app, context, post ?? null);
    careDayPage(app, context);
    careDayPages(app, context);
    memberPages(app, context);
    shopPages(app, context);
    callsPage(app, context);
    chancesPage(app, context);
    livesPage(app, context);
    repairSetPage(app, context);
    faultPages(app, context);
    estimatePages(app, context);
    carForms(app, context);
    visitForms(app, context);
    careDayBenchPages(app, context);
    clubLetterPages(app, context);
    visitRecordPages(app, context);
    await photoPages(app, context);
    benchSheetPage(app, context);
    stockPages(app, context);
    visitPartsPages(app, context);
    pricesPages(app, context);
    bookedVisitPages(app, context);
    bookingPages(app, context);
    offersPlanPages(app, context);
    benchLoadPage(app, context);
    diarySettingsPages(app, context);
    ownerDeskPages(app, context);
    newCarPages(app, context);
    changeCarPages(app, context);
    changeTopPages(app, context);
    callPages(app, context);
    keyPages(app, context);
    signInLogPage(app, context);
    trailPages(app, context);
    patternPages(app, context);
    startPages(app, context, trial ?? null);
    importPages(app, context);
    exportPages(app, context, databaseUrl ?? null);
    if (mailTray !== null) trayPages(app, context, mailTray);
    answerUnknownAddresses(app);
  };
}
