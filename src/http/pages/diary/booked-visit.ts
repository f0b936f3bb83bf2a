import { voiceFor } from '../../../views/words/voice.ts';
import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { dayIn } from '../../../domain/calendar/zone.ts';
import { moveBooking } from '../../../usecases/diary/book-week.ts';
import { changeVisit } from '../../../usecases/visits/change-visit.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { showVisit } from '../../../usecases/visits/read-visits.ts';
import { day, timeOfDay, visitMeasures } from '../../../usecases/records/record-fields.ts';
import { readVisitPage } from '../../../usecases/day/top-page.ts';
import { VISIT_KINDS } from '../../../usecases/own/visit-records.ts';
import { weeksWithRoom } from '../../../usecases/bench/weeks-with-room.ts';
import { bookedSheet, type SentForm } from './booked-sheet.ts';
import {
  dayIn as typedDay,
  numberIn,
  readBy,
  textIn,
  timeIn,
  versionIn,
} from '../shop/form-body.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';

const wanted = z.strictObject({
  week: z.string().max(8).optional(),
  on: day.optional(),
  at: timeOfDay.optional(),
});
const outcome = z.strictObject({ state: z.enum(['missed', 'cancelled', 'booked']) });
const { minutes, notes } = visitMeasures;
const plan = z.strictObject({ kind: z.enum(VISIT_KINDS), minutes, notes });
const LARGEST = 48 * 1024;

const ASKED = {
  always: false,
  words: ({ voice }: Sending) => [voice.say('booked.sure.letters')],
} as const;
const OUTCOMES: readonly string[] = ['missed', 'cancelled', 'booked'];
const back = ({ params }: Sending) => `/visits/${params.id}`;

/** The page of a booked visit, with what may become of it. */
export function bookedVisitPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, id: string, came: SentForm | null) => {
    const facts = await readVisitPage(context, caller, id);
    const { visit } = facts;
    const { weeks, timeZone } = await weeksWithRoom(context, caller, visit.topId, visit);
    const today = dayIn(timeZone, context.now());
    return renderFor(
      caller,
      'booked',
      ...bookedSheet(
        { ...facts, weeks, timeZone, today },
        freshOnce(),
        came,
        voiceFor(caller.language),
      ),
    );
  };
  showForm(app, context, '/visits/:id', ({ caller, id }) => page(caller, id, null));
  answerForm(app, context, {
    path: '/visits/:id/outcome',
    record: async ({ caller, params, form }) => {
      const { state } = readBy(outcome, { state: textIn(form, 'state') });
      const { topId } = await changeVisit(context, caller, params.id, { state }, versionIn(form));
      return { to: `/tops/${topId}?done=${state}` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, { form: 'outcome', sent }),
    first: {
      ...ASKED,
      heading: ({ form, voice }) => {
        const { state = '' } = form;
        return voice.say(`booked.sure.${OUTCOMES.includes(state) ? state : 'so'}`);
      },
      button: ({ voice }) => voice.say('booked.sure.yes'),
      back,
    },
  });
  answerForm(app, context, {
    path: '/visits/:id/plan',
    largest: LARGEST,
    record: async ({ caller, params, form }) => {
      const typed = readBy(plan, {
        kind: textIn(form, 'kind'),
        minutes: numberIn(form, 'minutes'),
        notes: textIn(form, 'notes'),
      });
      await changeVisit(context, caller, params.id, typed, versionIn(form));
      return { to: `/visits/${params.id}` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, { form: 'plan', sent }),
    first: {
      ...ASKED,
      heading: ({ voice }) => voice.say('booked.sure.keep'),
      button: ({ voice }) => voice.say('booked.sure.keep.button'),
      back,
    },
  });
  answerForm(app, context, {
    path: '/visits/:id/move',
    record: async ({ caller, params, form, voice }) => {
      await showVisit(context, caller, params.id);
      const asked = readBy(wanted, {
        week: textIn(form, 'week'),
        on: typedDay(form, 'on', voice),
        at: timeIn(form, 'at'),
      });
      const { topId } = await moveBooking(context, caller, params.id, asked, versionIn(form));
      return { to: `/tops/${topId}?done=moved` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, { form: 'move', sent }),
    first: {
      ...ASKED,
      heading: ({ voice }) => voice.say('booked.sure.move'),
      button: ({ voice }) => voice.say('booked.move'),
      back,
    },
  });
}
