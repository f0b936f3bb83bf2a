import { z } from 'zod';
import { BENCH_FIGURES } from '../../../domain/bench/bench-figures.ts';
import { bookWeek, moveBooking } from '../../../usecases/diary/book-week.ts';
import type { Context } from '../../../usecases/context/context.ts';
import type { DiaryRule } from '../../../usecases/bench/diary-calendar.ts';
import { MOST_WEEKS_AHEAD } from '../../../usecases/bench/diary-calendar.ts';
import {
  changeDiarySettings,
  showDiarySettings,
} from '../../../usecases/settings/diary-settings.ts';
import { showDiary } from '../../../usecases/bench/diary-weeks.ts';
import { showOffer } from '../../../usecases/bench/offer-weeks.ts';
import { pageOfPlan, requireFirstPage } from '../../../usecases/diary/plan-page.ts';
import { planDiary } from '../../../usecases/diary/plan-diary.ts';
import { VISIT_KINDS } from '../../../usecases/own/visit-records.ts';
import { openHours, timeOfDay } from '../../../usecases/records/record-fields.ts';
import { created, tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { day, id, idParams, line, pageQuery, version } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, recordRefusals, refusals } from '../../gate/routes.ts';
import { visit } from '../records/visits.ts';

const weekId = z
  .string()
  .regex(/^\d{4}-W\d{2}$/, 'Give an ISO week, as in 2026-W23.')
  .meta({ example: '2026-W23' });
const USUAL_WEEKS = 8;

const closure = z.object({ from: z.string(), to: z.string(), words: z.string() });
const newClosure = z.strictObject({ from: day, to: day.optional(), words: line(120) });
const rule = (name: DiaryRule) =>
  z
    .number()
    .nullable()
    .optional()
    .meta({
      description: `Shop rule, in ${BENCH_FIGURES[name].unit}: ${BENCH_FIGURES[name].min} to ${BENCH_FIGURES[name].max}; null for the usual ${BENCH_FIGURES[name].value}.`,
    });
const shopRules = z.strictObject({
  minutesPerDay: rule('minutesPerDay'),
  slackSummerPct: rule('slackSummerPct'),
  slackElsePct: rule('slackElsePct'),
  leadDays: rule('leadDays'),
  changeDays: rule('changeDays'),
});
const placeName = z.string().max(40);
const place = z
  .strictObject({
    country: placeName.meta({ example: 'GB' }),
    state: placeName.nullable().optional(),
    region: placeName.nullable().optional(),
  })
  .nullable()
  .meta({ description: 'Whose public holidays are kept, by the codes of date-holidays.' });
const takesBookings = z.boolean().nullable().meta({
  description: 'Whether owners choose days by themselves; null is usual: shops yes, clubs no.',
});
const weekdays = z
  .array(z.int().min(1).max(7))
  .max(7)
  .meta({ description: 'Open weekdays, 1 for Monday to 7 for Sunday.' });
const wholeSettings = z.strictObject({
  weekdays,
  hours: openHours.optional(),
  closures: z.array(newClosure).max(400),
  place: place.optional(),
  takesBookings: takesBookings.optional(),
  shopRules: shopRules.optional(),
});
const settings = z
  .object({
    weekdays: z.array(z.int()),
    hours: z.record(z.string(), z.object({ from: z.string(), to: z.string() })),
    closures: z.array(closure),
    place: z
      .object({
        country: z.string(),
        state: z.string().nullable(),
        region: z.string().nullable(),
      })
      .nullable(),
    holidays: z.array(z.object({ on: z.string(), words: z.string() })),
    takesBookings: z.boolean(),
    shopRules: z.array(
      z.object({
        name: z.string(),
        value: z.number(),
        usual: z.number(),
        unit: z.string(),
        mark: z.string(),
        source: z.string(),
        min: z.number(),
        max: z.number(),
      }),
    ),
    version,
  })
  .meta({ id: 'DiarySettings', description: 'When the bench is manned.' });

const jam = z.object({
  from: z.string(),
  to: z.string(),
  need: z.number(),
  room: z.number(),
  unit: z.enum(['visits', 'places']),
  words: z.string(),
});
const length = { minutes: z.number(), places: z.int(), because: z.string() };
const whose = {
  topId: id,
  carId: id,
  ownerId: id,
  ownerName: z.string(),
  registration: z.string(),
};
const diary = z
  .object({
    today: z.string(),
    placeMinutes: z.int(),
    weeks: z.array(
      z.object({
        id: z.string(),
        monday: z.string(),
        openDays: z.array(z.string()),
        closures: z.array(closure),
        capacityPlaces: z.int(),
        bookedPlaces: z.int(),
        offeredPlaces: z.int(),
        visits: z.array(
          z.object({
            visitId: id,
            ...whose,
            kind: z.enum(VISIT_KINDS),
            on: z.string(),
            ...length,
          }),
        ),
      }),
    ),
    jams: z.array(jam),
    says: z.array(z.string()),
    because: z.array(z.string()),
  })
  .meta({ id: 'Diary', description: 'The bench week by week, in places of half an hour.' });

const plannedVisit = z.object({
  standing: z.enum(['booked', 'expected']),
  visitId: id.nullable(),
  ...whose,
  kind: z.enum(VISIT_KINDS),
  dueOn: z.string().nullable(),
  ...length,
});
const placedVisit = plannedVisit.extend({ week: z.string(), offered: z.array(z.string()) });
const plan = z
  .object({
    from: z.string(),
    weeks: z.array(z.string()),
    applied: z.boolean(),
    offers: z.object({ made: z.int(), ended: z.int(), kept: z.int() }),
    counts: z.object({ placed: z.int(), outside: z.int(), unplaced: z.int() }),
    placed: z.array(placedVisit),
    outside: z.array(placedVisit.extend({ latenessWeeks: z.int() })),
    unplaced: z.array(plannedVisit.extend({ reason: z.enum(['no-room', 'after-horizon']) })),
    next: z.string().nullable(),
    jams: z.array(jam),
    gap: z.object({ bound: z.int(), placed: z.int(), words: z.string() }),
    leftToCalls: z.int(),
    notWritten: z.int(),
    says: z.array(z.string()),
    because: z.array(z.string()),
  })
  .meta({
    id: 'DiaryPlan',
    description:
      'Which visit goes to which week, and what does not fit: so many visits of the lists together, placed ones first, with the count of each list. Hand `next` in as `after`, with the same body and `apply` false, for the following ones; null at the end.',
  });

const offer = z
  .object({
    topId: id,
    carId: id,
    ownerId: id,
    kind: z.enum(['lubrication', 'look']),
    dueOn: z.string(),
    offeredAt: z.string().nullable(),
    minutes: z.number(),
    places: z.int(),
    weeks: z.array(
      z.object({
        id: z.string(),
        monday: z.string(),
        openDays: z.array(z.string()),
        roomPlaces: z.int(),
      }),
    ),
    days: z.array(z.object({ on: z.string(), dropOffAt: z.string(), readyAt: z.string() })),
    because: z.array(z.string()),
  })
  .meta({ id: 'WeeksOffered' });

const asked = {
  week: weekId.optional(),
  on: day.optional(),
  at: timeOfDay.optional().meta({
    description: "When the car is brought on that day, by the organisation's own clock.",
  }),
};

/** The diary of the bench: weeks, settings, the plan, offers and bookings. */
export function diaryRoutes(app: Routes, context: Context): void {
  const tags = ['diary'];
  app.get(
    '/diary',
    {
      schema: {
        tags,
        summary: 'The bench week by week: room, bookings, offers, and where it jams',
        querystring: z.strictObject({
          from: day.optional(),
          weeks: z.coerce.number().int().min(1).max(MOST_WEEKS_AHEAD).default(USUAL_WEEKS),
        }),
        response: { 200: diary, ...refusals },
      },
    },
    (request) => showDiary(context, caller(request), request.query),
  );
  app.get(
    '/diary/settings',
    {
      schema: {
        tags,
        summary: 'Opening days, closures, and the shop rules that measure a week',
        response: { 200: settings, ...refusals },
      },
    },
    (request, reply) => tagged(reply, showDiarySettings(context, caller(request))),
  );
  for (const [method, body] of [
    ['PUT', wholeSettings],
    ['PATCH', wholeSettings.partial()],
  ] as const) {
    app.route({
      method,
      url: '/diary/settings',
      schema: {
        tags,
        summary:
          method === 'PUT' ? 'Set opening days and closures' : 'Change some of the diary settings',
        body,
        response: { 200: settings, ...changeRefusals },
      },
      handler: (request, reply) =>
        tagged(
          reply,
          changeDiarySettings(context, caller(request), request.body, versionAsked(request)),
        ),
    });
  }
  app.post(
    '/diary/plan',
    {
      schema: {
        tags,
        summary: 'Plan the visits that fall due; a dry run unless applied',
        querystring: pageQuery,
        body: z
          .strictObject({
            from: day.optional(),
            weeks: z.int().min(1).max(MOST_WEEKS_AHEAD).default(USUAL_WEEKS),
            apply: z.boolean().default(false),
          })
          .default({ weeks: USUAL_WEEKS, apply: false }),
        response: { 200: plan, ...recordRefusals },
      },
    },
    async (request) => {
      const { query, body } = request;
      requireFirstPage(body.apply, query.after);
      return pageOfPlan(await planDiary(context, caller(request), body), query);
    },
  );
  app.get(
    '/tops/:id/offer',
    {
      schema: {
        tags,
        summary: 'The weeks from which the owner of a top may choose now',
        params: idParams,
        querystring: z.strictObject({
          kind: z.enum(['lubrication', 'look']).default('lubrication'),
        }),
        response: { 200: offer, ...refusals },
      },
    },
    (request) =>
      showOffer(context, caller(request), request.params.id, { kind: request.query.kind }),
  );
  app.post(
    '/tops/:id/booking',
    {
      schema: {
        tags,
        summary: 'Book a visit in a week with room, or on a day',
        params: idParams,
        body: z.strictObject({ ...asked, kind: z.enum(VISIT_KINDS).optional() }),
        response: { 201: visit, ...recordRefusals },
      },
    },
    (request, reply) =>
      created(
        reply,
        '/v1/visits',
        bookWeek(context, caller(request), request.params.id, request.body),
      ),
  );
  app.put(
    '/visits/:id/booking',
    {
      schema: {
        tags,
        summary: 'Move a booked visit to another week or day with room',
        params: idParams,
        body: z.strictObject(asked),
        response: { 200: visit, ...changeRefusals },
      },
    },
    async (request, reply) => {
      const { params, body } = request;
      return tagged(
        reply,
        moveBooking(context, caller(request), params.id, body, versionAsked(request)),
      );
    },
  );
}
