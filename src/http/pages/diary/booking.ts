import { voiceFor } from '../../../views/words/voice.ts';
import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { bookWeek } from '../../../usecases/diary/book-week.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { day, timeOfDay } from '../../../usecases/records/record-fields.ts';
import { readTopPage } from '../../../usecases/day/top-page.ts';
import { VISIT_KINDS, type VisitKind } from '../../../usecases/own/visit-records.ts';
import { hasRight } from '../../../domain/people/rights.ts';
import { weeksWithRoom } from '../../../usecases/bench/weeks-with-room.ts';
import { bookingSheet } from './booking-sheet.ts';
import type { Sent } from '../frame/form.ts';
import { dayIn, readBy, textIn, timeIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';

const booking = z.strictObject({
  kind: z.enum(VISIT_KINDS),
  week: z.string().max(8).optional(),
  on: day.optional(),
  at: timeOfDay.optional(),
});

/** The page on which a visit is booked for a top. */
export function bookingPages(app: FastifyInstance, context: Context): void {
  const page = async (
    caller: Visitor,
    id: string,
    kind: VisitKind,
    called: boolean,
    sent: Sent | null,
  ) => {
    const facts = await readTopPage(context, caller, id);
    const room = await weeksWithRoom(context, caller, id, { kind });
    return renderFor(
      caller,
      'booking',
      ...bookingSheet(
        { ...facts, ...room, kind, called, gives: hasRight(caller, 'keep-owners') },
        freshOnce(),
        sent,
        voiceFor(caller.language),
      ),
    );
  };
  showForm(app, context, '/tops/:id/booking', ({ caller, id, query }) =>
    page(caller, id, kindOf(query('kind')), query('done') === 'call', null),
  );
  answerForm(app, context, {
    path: '/tops/:id/booking',
    record: async ({ caller, params, form, voice }) => {
      const asked = readBy(booking, {
        kind: textIn(form, 'kind'),
        week: textIn(form, 'week'),
        on: dayIn(form, 'on', voice),
        at: timeIn(form, 'at'),
      });
      await bookWeek(context, caller, params.id, asked);
      return { to: `/tops/${params.id}?done=booked` };
    },
    show: ({ caller, params, form }, sent) =>
      page(caller, params.id, kindOf(form['kind']), false, sent),
  });
}

function kindOf(word: string | undefined): VisitKind {
  return VISIT_KINDS.find((kind) => kind === word) ?? 'lubrication';
}
