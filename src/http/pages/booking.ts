import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { bookWeek } from '../../usecases/book-week.ts';
import type { Caller, Deed } from '../../usecases/deed.ts';
import { day } from '../../usecases/record-fields.ts';
import { readTopPage } from '../../usecases/top-page.ts';
import { VISIT_KINDS, type VisitKind } from '../../usecases/visit-records.ts';
import { weeksWithRoom } from '../../usecases/weeks-with-room.ts';
import { bookingSheet } from '../../views/pages/booking-sheet.ts';
import type { Sent } from '../../views/pages/form.ts';
import { renderPage } from '../../views/pages/render.ts';
import { readBy, textIn } from './form-body.ts';
import { answerForm, freshOnce } from './shop-form.ts';
import { showForm } from './shop-page.ts';

const booking = z.strictObject({
  kind: z.enum(VISIT_KINDS),
  week: z.string().max(8).optional(),
  on: day.optional(),
});

/** The page on which a visit is booked for a top. */
export function bookingPages(app: FastifyInstance, deed: Deed): void {
  const page = async (
    caller: Caller,
    id: string,
    kind: VisitKind,
    called: boolean,
    sent: Sent | null,
  ) => {
    const facts = await readTopPage(deed, caller, id);
    const room = await weeksWithRoom(deed, caller, id, { kind });
    return renderPage(
      'booking',
      ...bookingSheet({ ...facts, ...room, kind, called }, freshOnce(), sent),
    );
  };
  showForm(app, deed, '/tops/:id/booking', ({ caller, id, query }) =>
    page(caller, id, kindOf(query('kind')), query('done') === 'call', null),
  );
  answerForm(app, deed, {
    path: '/tops/:id/booking',
    record: async ({ caller, params, form }) => {
      const asked = readBy(booking, {
        kind: textIn(form, 'kind'),
        week: textIn(form, 'week'),
        on: textIn(form, 'on'),
      });
      await bookWeek(deed, caller, params.id, asked);
      return { to: `/tops/${params.id}?done=booked` };
    },
    show: ({ caller, params, form }, sent) =>
      page(caller, params.id, kindOf(form['kind']), false, sent),
  });
}

function kindOf(word: string | undefined): VisitKind {
  return VISIT_KINDS.find((kind) => kind === word) ?? 'lubrication';
}
