import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { CALL_OUTCOMES } from '../../../domain/calls/earlier-calls.ts';
import { POSITIONS } from '../../../domain/folding/position-log.ts';
import type { Caller, Context } from '../../../usecases/context/context.ts';
import { logCall } from '../../../usecases/day/log-call.ts';
import { correctEntry, logPosition, withdrawEntry } from '../../../usecases/cars/log-position.ts';
import { showCar } from '../../../usecases/cars/read-cars.ts';
import { listTops } from '../../../usecases/tops/read-tops.ts';
import { instant, prose } from '../../../usecases/records/record-fields.ts';
import { instantIn, isTicked, readBy, textIn } from '../shop/form-body.ts';
import { FATES, tellLetterFate } from '../../../usecases/delivery/tell-fate.ts';
import { answerForm } from '../shop/shop-form.ts';
import { carPage, todayPage } from './shop.ts';

const call = z.strictObject({ outcome: z.enum(CALL_OUTCOMES), notes: prose(1000).optional() });
const typedFate = z.strictObject({ fate: z.enum(FATES) });
const entry = z.strictObject({
  position: z.enum(POSITIONS),
  at: instant,
  damp: z.boolean().optional(),
  coverOn: z.boolean().optional(),
});
// As many tops as a car will ever have.
const TOPS_LOOKED_AT = 200;
/** A note of a thousand letters, nine bytes each in the alphabets that take most. */
const LARGEST_NOTE = 16 * 1024;

/** What is recorded about a car: calls to its owner, and where its top is. */
export function carForms(app: FastifyInstance, context: Context): void {
  answerForm(app, context, {
    path: '/cars/:id/calls',
    largest: LARGEST_NOTE,
    record: async ({ caller, params, form }) => {
      const { id: carId } = await showCar(context, caller, params.id);
      const typed = readBy(call, {
        outcome: textIn(form, 'outcome'),
        notes: textIn(form, 'notes'),
      });
      await logCall(context, caller, { carId, ...typed });
      const topId = typed.outcome === 'booked' ? await topOn(context, caller, carId) : null;
      if (topId !== null) return { to: `/tops/${topId}/booking?done=call` };
      return { to: form['from'] === 'today' ? '/today?done=call' : `/cars/${carId}?done=call` };
    },
    show: ({ caller, params, form }, sent) =>
      form['from'] === 'today'
        ? todayPage(context, caller, { came: { carId: params.id, sent } })
        : carPage(context, caller, params.id, { came: { form: 'call', sent } }),
  });
  answerForm(app, context, {
    path: '/letters/:id/fate',
    record: async ({ caller, params, form }) => {
      const typed = readBy(typedFate, { fate: textIn(form, 'fate') });
      await tellLetterFate(context, caller, params.id, typed.fate);
      return { to: `/today?done=${typed.fate}` };
    },
    show: ({ caller }) => todayPage(context, caller, {}),
  });
  answerForm(app, context, {
    path: '/cars/:id/position',
    record: async ({ caller, params, form, voice }) => {
      const { id: carId, timeZone } = await showCar(context, caller, params.id);
      const now = context.now();
      // A tick that is not set says nothing about the cover.
      const typed = readBy(entry, {
        position: textIn(form, 'position'),
        at: instantIn(form, 'at', { timeZone, now, voice }) ?? now,
        ...(isTicked(form, 'damp') ? { damp: true } : {}),
        ...(isTicked(form, 'coverOn') ? { coverOn: true } : {}),
      });
      await logPosition(context, loggerOf(caller), carId, typed);
      return { to: `/cars/${carId}?done=${typed.position}` };
    },
    show: ({ caller, params }, sent) =>
      carPage(context, caller, params.id, { came: { form: 'position', sent } }),
  });
  answerForm(app, context, {
    path: '/cars/:id/entries/:entryId/correct',
    record: async ({ caller, params, form, voice }) => {
      const { id: carId, timeZone } = await showCar(context, caller, params.id);
      const now = context.now();
      const at = instantIn(form, 'at', { timeZone, now, voice });
      const typed = readBy(entry.partial({ at: true }), {
        position: textIn(form, 'position'),
        ...(at === undefined ? {} : { at }),
        ...(isTicked(form, 'damp') ? { damp: true } : {}),
        ...(isTicked(form, 'coverOn') ? { coverOn: true } : {}),
      });
      await correctEntry(context, loggerOf(caller), carId, params.entryId, typed);
      return { to: `/cars/${carId}?done=corrected` };
    },
    show: ({ caller, params }, sent) =>
      carPage(context, caller, params.id, { came: { form: 'position', sent } }),
  });
  answerForm(app, context, {
    path: '/cars/:id/entries/:entryId/withdraw',
    record: async ({ caller, params }) => {
      await withdrawEntry(context, loggerOf(caller), params.id, params.entryId);
      return { to: `/cars/${params.id}?done=withdrawn` };
    },
    show: ({ caller, params }, sent) =>
      carPage(context, caller, params.id, { came: { form: 'position', sent } }),
  });
}

function loggerOf({ organisationId, author }: Caller) {
  return { organisationId, by: author.id };
}

async function topOn(context: Context, caller: Caller, carId: string): Promise<string | null> {
  const { items } = await listTops(context, caller, { carId, limit: TOPS_LOOKED_AT });
  return items.find(({ retiredOn }) => retiredOn === null)?.id ?? null;
}
