import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { minutesAt } from '../../../domain/care-day/care-day-shape.ts';
import { hasRight } from '../../../domain/people/rights.ts';
import {
  askToCareDay,
  placeByHand,
  placeWhoWait,
  readCareDayDesk,
  readCareDayRota,
  takeOffCareDay,
} from '../../../usecases/care-days/care-day-list.ts';
import {
  callOffCareDay,
  changeCareDay,
  newCareDayFigures,
  planCareDay,
} from '../../../usecases/care-days/keep-care-days.ts';
import { readDayResult } from '../../../usecases/care-days/day-result.ts';
import { readGroupOrder } from '../../../usecases/care-days/group-order.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { timeOfDay } from '../../../usecases/records/record-fields.ts';
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { numberIn, readBy, textIn, versionIn } from '../shop/form-body.ts';
import type { Sending, ShopForm } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { cleanId, renderFor, showForm, showPage } from '../shop/shop-page.ts';
import { careDayFormSheet } from './care-day-form-sheet.ts';
import { careDayIn } from './care-day-said.ts';
import { orderSheet } from './order-sheet.ts';
import { resultSheet } from './result-sheet.ts';
import { rotaSheet } from './rota-sheet.ts';

const LARGEST = 8 * 1024;
// A tick a car, of as many cars as a club has.
const LARGEST_LIST = 192 * 1024;
const byHand = z.strictObject({
  start: timeOfDay,
  minutes: z.int('Give a whole number.').min(5).max(480),
  bench: z.int().min(1).max(20).nullable(),
  helperId: z.string().max(64).nullable(),
});

/** The pages of one care day: its rota, and for who keeps it whom to ask and who comes when. */
export function careDayPages(app: FastifyInstance, context: Context): void {
  const rota = async (
    caller: Visitor,
    id: string,
    done: string | undefined,
    sent: { readonly action: string; readonly sent: Sent } | null,
  ) => {
    const keeps = hasRight(caller, 'keep-owners');
    const desk = keeps ? await readCareDayDesk(context, caller, id) : null;
    const whole = desk ?? (await readCareDayRota(context, caller, id));
    const sheet = rotaSheet(whole, desk, {
      done,
      once: freshOnce(),
      sent,
      reads: hasRight(caller, 'read-records'),
      records: hasRight(caller, 'record-work'),
      helps: hasRight(caller, 'record-care-day'),
    });
    return renderFor(caller, 'rota', ...sheet);
  };
  const form = (path: string, rest: Pick<ShopForm, 'record'> & Partial<ShopForm>) =>
    answerForm(app, context, {
      path,
      needs: 'keep-owners',
      largest: LARGEST,
      show: ({ caller, params }, sent) => {
        const action = path.replace(':id', params.id).replace(':entryId', params.entryId);
        return rota(caller, params.id, undefined, { action, sent });
      },
      ...rest,
    });
  const back = ({ params }: Sending) => `/care-day/${params.id}`;

  dayForms(app, context);
  showPage(
    app,
    context,
    '/care-day/:id/order',
    async ({ caller, id }) =>
      renderFor(caller, 'group-order', ...orderSheet(await readGroupOrder(context, caller, id))),
    'keep-owners',
  );
  showPage(app, context, '/care-day/:id/result', async ({ caller, id }) =>
    renderFor(caller, 'day-result', ...resultSheet(await readDayResult(context, caller, id))),
  );
  showPage(
    app,
    context,
    '/care-day/:id',
    ({ caller, id, query }) => rota(caller, id, query('done'), null),
    'care-day',
  );
  form('/care-day/:id/ask', {
    largest: LARGEST_LIST,
    record: async ({ caller, params, form: sent }) => {
      await askToCareDay(context, caller, params.id, carsTicked(sent));
      return { to: `/care-day/${params.id}?done=asked` };
    },
    first: {
      always: true,
      heading: 'Ask these members?',
      button: 'Ask them',
      words: ({ form: sent }) => [
        `${carsTicked(sent).length} cars are put on the list of the day. Who refuses such letters or cannot be reached gets none; who has had a letter today gets it tomorrow.`,
      ],
      back,
    },
  });
  form('/care-day/:id/fill', {
    record: async ({ caller, params }) => {
      await placeWhoWait(context, caller, params.id);
      return { to: `/care-day/${params.id}?done=filled` };
    },
    first: {
      always: true,
      heading: 'Give them times?',
      button: 'Give them',
      words: () => ['Each who gets a time is told by a letter and may move it or give it back.'],
      back,
    },
  });
  form('/care-day/:id/call-off', {
    record: async ({ caller, params, form: sent }) => {
      await callOffCareDay(context, caller, params.id, versionIn(sent));
      return { to: `/care-day/${params.id}?done=called-off` };
    },
    first: {
      always: true,
      heading: 'Call this care day off?',
      button: 'Call it off',
      words: () => ['All times on it fall away. This cannot be taken back.'],
      back,
    },
  });
  form('/care-day/:id/places/:entryId', {
    record: async ({ caller, params, form: sent }) => {
      const said = readBy(byHand, {
        start: textIn(sent, 'start') ?? '',
        minutes: numberIn(sent, 'minutes'),
        bench: numberIn(sent, 'bench') ?? null,
        helperId: textIn(sent, 'helper') ?? null,
      });
      const named = { dayId: params.id, placeId: params.entryId, version: versionIn(sent) };
      const wanted = { ...said, start: minutesAt(said.start) };
      await placeByHand(context, caller, named, wanted);
      return { to: `/care-day/${params.id}?done=placed` };
    },
    first: {
      always: false,
      heading: 'Keep this?',
      button: 'Keep it',
      words: () => ['Letters follow from it:'],
      back,
    },
  });
  form('/care-day/:id/places/:entryId/off', {
    record: async ({ caller, params, form: sent }) => {
      const named = { dayId: params.id, placeId: params.entryId, version: versionIn(sent) };
      await takeOffCareDay(context, caller, named);
      return { to: `/care-day/${params.id}?done=off` };
    },
    first: {
      always: false,
      heading: 'Take this car off the day?',
      button: 'Take it off',
      words: () => ['Letters follow from it:'],
      back,
    },
  });
}

/** A care day planned, and put right. */
function dayForms(app: FastifyInstance, context: Context): void {
  const fresh = async (caller: Visitor, sent: Sent | null) => {
    const figures = await newCareDayFigures(context, caller);
    return renderFor(caller, 'care-day-form', ...careDayFormSheet(figures, freshOnce(), sent));
  };
  const change = async (caller: Visitor, id: string, sent: Sent | null) => {
    const { day } = await readCareDayRota(context, caller, id);
    return renderFor(caller, 'care-day-form', ...careDayFormSheet(day, freshOnce(), sent));
  };
  showForm(app, context, '/care-day/new', ({ caller }) => fresh(caller, null), 'keep-owners');
  answerForm(app, context, {
    path: '/care-day/new',
    needs: 'keep-owners',
    largest: LARGEST,
    record: async ({ caller, form }) => {
      const id = await planCareDay(context, caller, careDayIn(form));
      return { to: `/care-day/${id}?done=planned` };
    },
    show: ({ caller }, sent) => fresh(caller, sent),
  });
  showForm(
    app,
    context,
    '/care-day/:id/change',
    ({ caller, id }) => change(caller, id, null),
    'keep-owners',
  );
  answerForm(app, context, {
    path: '/care-day/:id/change',
    needs: 'keep-owners',
    largest: LARGEST,
    record: async ({ caller, params, form }) => {
      await changeCareDay(context, caller, params.id, careDayIn(form), versionIn(form));
      return { to: `/care-day/${params.id}?done=changed` };
    },
    show: ({ caller, params }, sent) => change(caller, params.id, sent),
    first: {
      always: false,
      heading: 'Keep this?',
      button: 'Keep it',
      words: () => ['Letters follow from it:'],
      back: ({ params }) => `/care-day/${params.id}/change`,
    },
  });
}

/** The cars whose ticks are set; each has a field of its own. */
function carsTicked(form: SmallForm): string[] {
  return Object.keys(form)
    .filter((name) => name.startsWith('car-'))
    .map((name) => cleanId(name.slice('car-'.length)));
}
