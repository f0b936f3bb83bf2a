import { voiceFor } from '../../../views/words/voice.ts';
import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { careDayOfVisit } from '../../../usecases/care-days/day-result.ts';
import { readVisitPage } from '../../../usecases/day/top-page.ts';
import { FINDING_OUTCOMES } from '../../../usecases/own/visit-records.ts';
import { listVisitPhotos } from '../../../usecases/photos/photos.ts';
import { readTrail } from '../../../usecases/trail/read-trail.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { dayIn } from '../../../domain/calendar/zone.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { leftReport, reportAnew } from '../../../usecases/visits/report-anew.ts';
import { refuseOddPlays } from '../../../usecases/visits/odd-plays.ts';
import { correctVisit, withdrawVisit } from '../../../usecases/visits/correct-visit.ts';
import { decideFinding } from '../../../usecases/visits/decide-finding.ts';
import { showTop } from '../../../usecases/tops/read-tops.ts';
import { showVisit } from '../../../usecases/visits/read-visits.ts';
import { visitInWords, visitModel } from '../cars/car-visits.ts';
import type { Sent } from '../frame/form.ts';
import { isTicked, readBy, textIn, versionIn } from '../shop/form-body.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { mayRecord, renderFor, showForm, showPage } from '../shop/shop-page.ts';
import { recordSheet } from './record-sheet.ts';
import { typedVisit } from './typed-visit.ts';
import { correctionIn, fieldAt, LARGEST, wantsMore, withRoom } from './visit-form.ts';
import { SURELY, visitFormSheet } from './visit-form-sheet.ts';

const CHANGES_SHOWN = 40;
const decision = z.strictObject({ outcome: z.enum(FINDING_OUTCOMES) });

/** The record of a visit: put right, taken back, and what came of the advice. */
export function visitRecordPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, id: string, done: string | undefined, sent: Sent | null) => {
    const facts = await readVisitPage(context, caller, id);
    const trail = await readTrail(context, caller, { visitId: id, limit: CHANGES_SHOWN });
    const photos = await listVisitPhotos(context, caller, id);
    const report = await leftReport(context, caller, id);
    const careDay = await careDayOfVisit(context, caller, id);
    const view = { records: mayRecord(caller), done, once: freshOnce(), sent };
    return renderFor(
      caller,
      'visit-record',
      ...recordSheet({ ...facts, trail, photos, report, careDay }, view, voiceFor(caller.language)),
    );
  };
  const back = ({ params }: Sending) => `/visits/${params.id}/record`;
  /** That a report left which its reader takes for true. */
  const reportWords = async (caller: Visitor, id: string, voice: Voice) => {
    const report = await leftReport(context, caller, id);
    if (report === null) return [];
    const { timeZone } = await showOrganisation(context, caller);
    const day = voice.day(dayIn(timeZone, report.at));
    return [voice.say('record.sure.report', { day, name: report.toName })];
  };
  showPage(app, context, '/visits/:id/record', ({ caller, id, query }) =>
    page(caller, id, query('done'), null),
  );
  answerForm(app, context, {
    path: '/visits/:id/withdraw',
    record: async ({ caller, params, form }) => {
      const { carId } = await withdrawVisit(context, caller, params.id, versionIn(form));
      return { to: `/cars/${carId}?done=withdrawn` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, undefined, sent),
    first: {
      always: true,
      // Right after it was recorded nobody has planned anything upon it.
      skip: async ({ caller, params, form }) =>
        isTicked(form, 'undo') && (await leftReport(context, caller, params.id)) === null,
      heading: ({ voice }) => voice.say('record.sure.back'),
      button: ({ voice }) => voice.say('record.back'),
      words: async ({ caller, params, voice }) => {
        const visit = await showVisit(context, caller, params.id);
        return [
          voice.say('record.sure.visit', { visit: visitInWords(visit, voice) }),
          voice.say('record.sure.readings'),
          voice.say('record.sure.trail'),
          ...(await reportWords(caller, params.id, voice)),
        ];
      },
      back,
    },
  });
  answerForm(app, context, {
    path: '/visits/:id/report',
    record: async ({ caller, params, form: sent }) => {
      await reportAnew(context, caller, params.id, versionIn(sent));
      return { to: `/visits/${params.id}/record?done=reported` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, undefined, sent),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('record.sure.anew'),
      button: ({ voice }) => voice.say('record.anew'),
      words: ({ voice }) => [voice.say('record.sure.anew.so')],
      back,
    },
  });
  const form = async (caller: Visitor, id: string, sent: Sent | null) => {
    const facts = await readVisitPage(context, caller, id);
    const { visit } = facts;
    const typed = sent ?? typedVisit(visit, facts);
    const voice = voiceFor(caller.language);
    const told = visitModel(visit, false, voice);
    const standing =
      sent?.meanwhile === true
        ? [
            told.heading,
            ...told.lines,
            ...told.findings,
            ...told.readings.map(({ pivot, found }) => `${pivot}: ${found}`),
          ]
        : [];
    const sheet = visitFormSheet(
      { ...facts, visit: null, declined: [] },
      {
        once: freshOnce(),
        sent: withRoom(typed),
        kind: typed.typed['kind'] ?? visit.kind,
        corrected: { id: visit.id, version: visit.version, standing },
      },
      voice,
    );
    return renderFor(caller, 'visit-form', ...sheet);
  };
  showForm(app, context, '/visits/:id/correct', ({ caller, id }) => form(caller, id, null));
  answerForm(app, context, {
    path: '/visits/:id/correct',
    largest: LARGEST,
    record: async ({ caller, params, form: sent, voice }) => {
      const visit = await showVisit(context, caller, params.id);
      const typed = correctionIn(sent, visit, await showTop(context, caller, visit.topId), voice);
      await refuseOddPlays(context, caller, typed, isTicked(sent, SURELY));
      await correctVisit(context, caller, params.id, typed, versionIn(sent));
      return { to: `/visits/${params.id}/record?done=corrected` };
    },
    show: ({ caller, params }, sent) => form(caller, params.id, sent),
    fieldAt,
    wantsMore,
    first: {
      always: false,
      heading: ({ voice }) => voice.say('record.sure.correct'),
      button: ({ voice }) => voice.say('record.correct'),
      words: ({ voice }) => [voice.say('record.sure.letters')],
      back,
    },
  });
  answerForm(app, context, {
    path: '/visits/:id/findings/:entryId',
    record: async ({ caller, params, form: sent }) => {
      const typed = readBy(decision, { outcome: textIn(sent, 'outcome') });
      const ids = { visitId: params.id, findingId: params.entryId };
      await decideFinding(context, caller, ids, typed, versionIn(sent));
      return { to: `/visits/${params.id}/record?done=decided` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, undefined, sent),
    first: {
      always: false,
      heading: ({ voice }) => voice.say('record.sure.decide'),
      button: ({ voice }) => voice.say('record.sure.decide.button'),
      words: ({ voice }) => [voice.say('record.sure.letters')],
      back,
    },
  });
}
