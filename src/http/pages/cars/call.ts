import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { CALL_OUTCOMES } from '../../../domain/calls/earlier-calls.ts';
import { showCar } from '../../../usecases/cars/read-cars.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { correctCall, showCall, withdrawCall } from '../../../usecases/day/correct-call.ts';
import { prose } from '../../../usecases/records/record-fields.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, spokenChoices } from '../frame/form.ts';
import { readBy, textIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';

const LARGEST = 16 * 1024;
const typedCall = z.strictObject({ outcome: z.enum(CALL_OUTCOMES), notes: prose(1000).optional() });

/** A call that was noted, to be put right or taken back. */
export interface CallModel {
  readonly registration: string;
  readonly carHref: string;
  readonly on: string;
  readonly form: FormModel;
  readonly fields: readonly FieldModel[];
  readonly withdraw: FormModel;
}

/** The page of a call. */
export function callPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, id: string, sent: Sent | null) => {
    const call = await showCall(context, caller, id);
    const voice = voiceFor(caller.language);
    const { say } = voice;
    const car = await showCar(context, caller, call.carId);
    const fields = [
      choice(
        sent,
        'outcome',
        say('call.outcome'),
        spokenChoices(voice, 'call-outcome', CALL_OUTCOMES),
        { value: call.outcome },
      ),
      field(sent, 'notes', say('call.notes'), { area: true, value: call.notes }),
    ];
    const once = freshOnce();
    const model: CallModel = {
      registration: car.registration,
      carHref: `/cars/${car.id}`,
      on: voice.day(call.calledOn),
      form: formOf(`/calls/${id}`, once, sent, fields),
      fields,
      withdraw: formOf(`/calls/${id}/withdraw`, once, null, []),
    };
    const frame = { lang: voice.language, title: say('call.title'), nav: { here: 'tops' } };
    return renderFor(caller, 'call', frame, model);
  };
  showForm(app, context, '/calls/:id', ({ caller, id }) => page(caller, id, null));
  answerForm(app, context, {
    path: '/calls/:id',
    largest: LARGEST,
    record: async ({ caller, params, form }) => {
      const call = readBy(typedCall, {
        outcome: textIn(form, 'outcome'),
        notes: textIn(form, 'notes'),
      });
      const { carId } = await correctCall(context, caller, params.id, call);
      return { to: `/cars/${carId}?done=call-changed` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, sent),
  });
  answerForm(app, context, {
    path: '/calls/:id/withdraw',
    record: async ({ caller, params }) => {
      const { carId } = await showCall(context, caller, params.id);
      await withdrawCall(context, caller, params.id);
      return { to: `/cars/${carId}?done=call-withdrawn` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, sent),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('call.sure'),
      button: ({ voice }) => voice.say('call.sure.button'),
      words: ({ voice }) => [voice.say('call.sure.list'), voice.say('call.sure.trail')],
      back: ({ params }) => `/calls/${params.id}`,
    },
  });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly call: CallModel;
  }
}
