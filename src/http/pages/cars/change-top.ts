import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { ownWords } from '../../../usecases/cars/earlier-words.ts';
import { showCar } from '../../../usecases/cars/read-cars.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import {
  coverMaterial,
  day,
  orNull,
  topWords,
  warranties,
  windowKind,
} from '../../../usecases/records/record-fields.ts';
import { changeTop, withdrawTop } from '../../../usecases/tops/correct-top.ts';
import { showTop } from '../../../usecases/tops/read-tops.ts';
import type { Sent } from '../frame/form.ts';
import { readBy, versionIn } from '../shop/form-body.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';
import { changeTopSheet } from './change-top-sheet.ts';
import { fieldAt, topIn } from './new-car.ts';

const LARGEST = 16 * 1024;
const change = z.strictObject({
  fittedOn: day,
  cover: z.strictObject({ material: coverMaterial }),
  window: windowKind,
  powered: z.boolean(),
  warranties,
  ...orNull(topWords),
});

/** A top put right on a page of its own, with its warranties, or taken back. */
export function changeTopPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, voice: Voice, id: string, sent: Sent | null) => {
    const top = await showTop(context, caller, id);
    const car = await showCar(context, caller, top.carId);
    const facts = { top, car, words: await ownWords(context, caller) };
    return renderFor(caller, 'change-top', ...changeTopSheet(facts, freshOnce(), sent, voice));
  };
  const back = ({ params }: Sending) => `/tops/${params.id}`;
  showForm(app, context, '/tops/:id/change', ({ caller, voice, id }) =>
    page(caller, voice, id, null),
  );
  answerForm(app, context, {
    path: '/tops/:id/change',
    largest: LARGEST,
    record: async ({ caller, params, form, voice }) => {
      await showTop(context, caller, params.id);
      const { framePattern: _frame, ...typed } = topIn(form, voice);
      await changeTop(context, caller, params.id, readBy(change, typed), versionIn(form));
      return { to: `/tops/${params.id}?done=changed` };
    },
    show: ({ caller, voice, params }, sent) => page(caller, voice, params.id, sent),
    fieldAt,
    first: {
      always: false,
      heading: ({ voice }) => voice.say('change.sure'),
      button: ({ voice }) => voice.say('change.sure.button'),
      words: ({ voice }) => [voice.say('change.sure.letters')],
      back,
    },
  });
  answerForm(app, context, {
    path: '/tops/:id/withdraw',
    record: async ({ caller, params, form }) => {
      const { carId } = await showTop(context, caller, params.id);
      await withdrawTop(context, caller, params.id, versionIn(form));
      return { to: `/cars/${carId}?done=top-withdrawn` };
    },
    show: ({ caller, voice, params }, sent) => page(caller, voice, params.id, sent),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('change-top.sure'),
      button: ({ voice }) => voice.say('change-top.sure.button'),
      words: ({ voice: { say } }) => [say('change-top.sure.so'), say('change-top.sure.trail')],
      back,
    },
  });
}
