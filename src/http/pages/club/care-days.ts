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
import { draftClubLetter } from '../../../usecases/club/club-letters.ts';
import { readGroupOrder } from '../../../usecases/care-days/group-order.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { timeOfDay } from '../../../usecases/records/record-fields.ts';
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { numberIn, readBy, textIn, timeIn, versionIn } from '../shop/form-body.ts';
import type { Sending, ShopForm } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { cleanId, renderFor, showForm, showPage } from '../shop/shop-page.ts';
import { careDayFormSheet } from './care-day-form-sheet.ts';
import { careDayIn } from './typed-care-day.ts';
import { orderSheet } from './order-sheet.ts';
import { resultLetter } from './result-letter.ts';
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
    voice: Voice,
  ) => {
    const keeps = hasRight(caller, 'keep-owners');
    const desk = keeps ? await readCareDayDesk(context, caller, id) : null;
    const whole = desk ?? (await readCareDayRota(context, caller, id));
    const view = {
      done,
      once: freshOnce(),
      sent,
      reads: hasRight(caller, 'read-records'),
      records: hasRight(caller, 'record-work'),
      helps: hasRight(caller, 'record-care-day'),
    };
    return renderFor(caller, 'rota', ...rotaSheet(whole, desk, view, voice));
  };
  const form = (path: string, rest: Pick<ShopForm, 'record'> & Partial<ShopForm>) =>
    answerForm(app, context, {
      path,
      needs: 'keep-owners',
      largest: LARGEST,
      show: ({ caller, params, voice }, sent) => {
        const action = path.replace(':id', params.id).replace(':entryId', params.entryId);
        return rota(caller, params.id, undefined, { action, sent }, voice);
      },
      ...rest,
    });
  const back = ({ params }: Sending) => `/care-day/${params.id}`;

  dayForms(app, context);
  showPage(
    app,
    context,
    '/care-day/:id/order',
    async ({ caller, id, voice }) => {
      const order = await readGroupOrder(context, caller, id);
      return renderFor(caller, 'group-order', ...orderSheet(order, voice));
    },
    'keep-owners',
  );
  resultPages(app, context);
  showPage(
    app,
    context,
    '/care-day/:id',
    ({ caller, id, query, voice }) => rota(caller, id, query('done'), null, voice),
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
      heading: ({ voice }) => voice.say('rota.sure.ask'),
      button: ({ voice }) => voice.say('rota.sure.ask.button'),
      words: ({ form: sent, voice }) => [
        voice.count('rota.sure.ask.words', carsTicked(sent).length),
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
      heading: ({ voice }) => voice.say('rota.sure.fill'),
      button: ({ voice }) => voice.say('rota.sure.fill.button'),
      words: ({ voice }) => [voice.say('rota.sure.fill.words')],
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
      heading: ({ voice }) => voice.say('rota.sure.call-off'),
      button: ({ voice }) => voice.say('rota.call-off.button'),
      words: ({ voice }) => [voice.say('rota.sure.call-off.words')],
      back,
    },
  });
  form('/care-day/:id/places/:entryId', {
    record: async ({ caller, params, form: sent }) => {
      const typed = readBy(byHand, {
        start: timeIn(sent, 'start') ?? '',
        minutes: numberIn(sent, 'minutes'),
        bench: numberIn(sent, 'bench') ?? null,
        helperId: textIn(sent, 'helper') ?? null,
      });
      const named = { dayId: params.id, placeId: params.entryId, version: versionIn(sent) };
      const wanted = { ...typed, start: minutesAt(typed.start) };
      await placeByHand(context, caller, named, wanted);
      return { to: `/care-day/${params.id}?done=placed` };
    },
    first: {
      always: false,
      heading: ({ voice }) => voice.say('rota.sure.keep'),
      button: ({ voice }) => voice.say('rota.sure.keep.button'),
      words: ({ voice }) => [voice.say('rota.sure.letters')],
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
      heading: ({ voice }) => voice.say('rota.sure.off'),
      button: ({ voice }) => voice.say('rota.sure.off.button'),
      words: ({ voice }) => [voice.say('rota.sure.letters')],
      back,
    },
  });
}

/** What came of a care day, and the letter of the club that tells all members of it. */
function resultPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, id: string, sent: Sent | null, voice: Voice) => {
    const result = await readDayResult(context, caller, id);
    const letters = caller.kind === 'club' && hasRight(caller, 'keep-owners');
    const view = { letters, once: freshOnce(), sent };
    return renderFor(caller, 'day-result', ...resultSheet(result, view, voice));
  };
  showPage(app, context, '/care-day/:id/result', ({ caller, id, voice }) =>
    page(caller, id, null, voice),
  );
  answerForm(app, context, {
    path: '/care-day/:id/letter',
    needs: 'keep-owners',
    record: async ({ caller, params }) => {
      const { language } = await showOrganisation(context, caller);
      const result = await readDayResult(context, caller, params.id);
      const draft = resultLetter(result, voiceFor(language));
      const id = await draftClubLetter(context, caller, draft);
      return { to: `/club-letters/${id}?done=drafted` };
    },
    show: ({ caller, params, voice }, sent) => page(caller, params.id, sent, voice),
  });
}

/** A care day planned, and put right. */
function dayForms(app: FastifyInstance, context: Context): void {
  const fresh = async (caller: Visitor, sent: Sent | null, voice: Voice) => {
    const figures = await newCareDayFigures(context, caller);
    return renderFor(
      caller,
      'care-day-form',
      ...careDayFormSheet(figures, freshOnce(), sent, voice),
    );
  };
  const change = async (caller: Visitor, id: string, sent: Sent | null, voice: Voice) => {
    const { day } = await readCareDayRota(context, caller, id);
    return renderFor(caller, 'care-day-form', ...careDayFormSheet(day, freshOnce(), sent, voice));
  };
  showForm(
    app,
    context,
    '/care-day/new',
    ({ caller, voice }) => fresh(caller, null, voice),
    'keep-owners',
  );
  answerForm(app, context, {
    path: '/care-day/new',
    needs: 'keep-owners',
    largest: LARGEST,
    record: async ({ caller, form, voice }) => {
      const id = await planCareDay(context, caller, careDayIn(form, voice));
      return { to: `/care-day/${id}?done=planned` };
    },
    show: ({ caller, voice }, sent) => fresh(caller, sent, voice),
  });
  showForm(
    app,
    context,
    '/care-day/:id/change',
    ({ caller, id, voice }) => change(caller, id, null, voice),
    'keep-owners',
  );
  answerForm(app, context, {
    path: '/care-day/:id/change',
    needs: 'keep-owners',
    largest: LARGEST,
    record: async ({ caller, params, form, voice }) => {
      await changeCareDay(context, caller, params.id, careDayIn(form, voice), versionIn(form));
      return { to: `/care-day/${params.id}?done=changed` };
    },
    show: ({ caller, params, voice }, sent) => change(caller, params.id, sent, voice),
    first: {
      always: false,
      heading: ({ voice }) => voice.say('rota.sure.keep'),
      button: ({ voice }) => voice.say('rota.sure.keep.button'),
      words: ({ voice }) => [voice.say('rota.sure.letters')],
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
