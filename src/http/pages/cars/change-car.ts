import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { changeCar } from '../../../usecases/cars/change-car.ts';
import { ownWords } from '../../../usecases/cars/earlier-words.ts';
import { showCar } from '../../../usecases/cars/read-cars.ts';
import { keepsCar, removeCar } from '../../../usecases/cars/remove-car.ts';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { sellCar } from '../../../usecases/owners/sell-car.ts';
import { lastSale, takeSaleBack } from '../../../usecases/owners/take-sale-back.ts';
import { isWithoutOwner, showOwner } from '../../../usecases/owners/read-owners.ts';
import {
  carWords,
  handbookFields,
  keepingFields,
  orNull,
  ownerFields,
  registration,
  timeZone,
} from '../../../usecases/records/record-fields.ts';
import { ownerIn } from '../owners/owner-desk.ts';
import { isTicked, readBy, textIn, versionIn } from '../shop/form-body.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce, pathOf } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';
import type { CameBack } from './change-car-sheet.ts';
import { changeCarSheet } from './change-car-sheet.ts';
import { carIn } from './new-car.ts';

const LARGEST = 16 * 1024;
const car = z.strictObject({
  registration,
  timeZone,
  handbook: z.strictObject(handbookFields),
  keeping: z.strictObject({
    ...keepingFields,
    foldsPerYear: keepingFields.foldsPerYear.unwrap().nullable(),
  }),
  ...orNull(carWords),
});
const sale = z.strictObject({ owner: z.strictObject(ownerFields) });

/** A car put right on a page of its own, given to its new owner, or removed. */
export function changeCarPages(app: FastifyInstance, context: Context): void {
  /** What the owner is called; null for one who was erased. */
  const nameOf = async (caller: Visitor, carId: string, ownerId: string) =>
    (await isWithoutOwner(context, caller, carId))
      ? null
      : (await showOwner(context, caller, ownerId)).name;
  const page = async (caller: Visitor, voice: Voice, id: string, came: CameBack | null) => {
    const record = await showCar(context, caller, id);
    const facts = {
      car: record,
      keeps: hasRight(caller, 'keep-owners') ? await keepsCar(context, caller, id) : null,
      sale: hasRight(caller, 'keep-owners') ? await lastSale(context, caller, record) : null,
      erased: await isWithoutOwner(context, caller, id),
      organisation: await showOrganisation(context, caller),
      words: await ownWords(context, caller),
    };
    return renderFor(caller, 'change-car', ...changeCarSheet(facts, freshOnce(), came, voice));
  };
  const back = ({ params }: Sending) => `/cars/${params.id}`;
  showForm(app, context, '/cars/:id/change', ({ caller, voice, id }) =>
    page(caller, voice, id, null),
  );
  answerForm(app, context, {
    path: '/cars/:id/change',
    largest: LARGEST,
    record: async ({ caller, params, form }) => {
      await showCar(context, caller, params.id);
      const { handbook, keeping, ...rest } = carIn(form);
      const typed = readBy(car, {
        ...rest,
        timeZone: textIn(form, 'timeZone') ?? '',
        handbook: {
          foldedLimitDays: handbook.foldedLimitDays,
          foldFloorCelsius: handbook.foldFloorCelsius ?? null,
        },
        keeping: {
          place: keeping.place ?? null,
          salt: keeping.salt ?? null,
          use: keeping.use ?? null,
          foldsPerYear: keeping.foldsPerYear ?? null,
        },
      });
      const another = isTicked(form, 'another');
      await changeCar(context, caller, params.id, { ...typed, another }, versionIn(form));
      return { to: `/cars/${params.id}?done=changed` };
    },
    show: ({ caller, voice, params }, sent) =>
      page(caller, voice, params.id, { form: 'change', sent }),
    first: {
      always: false,
      heading: ({ voice }) => voice.say('change.sure'),
      button: ({ voice }) => voice.say('change.sure.button'),
      words: ({ voice }) => [voice.say('change.sure.letters')],
      back,
    },
  });
  answerForm(app, context, {
    path: '/cars/:id/sold',
    largest: LARGEST,
    needs: 'keep-owners',
    record: async ({ caller, params, form }) => {
      const { owner } = readBy(sale, { owner: ownerIn(form, (name) => `owner/${name}`) });
      const another = isTicked(form, 'another');
      await sellCar(context, caller, params.id, { ...owner, another }, versionIn(form));
      return { to: `/cars/${params.id}?done=sold` };
    },
    show: ({ caller, voice, params }, sent) =>
      page(caller, voice, params.id, { form: 'sale', sent }),
    fieldAt: (pointer) => pathOf(pointer),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('change-car.sure'),
      button: ({ voice }) => voice.say('change-car.sure.button'),
      words: async ({ caller, params, form, voice: { say } }) => {
        const { registration: plate, ownerId } = await showCar(context, caller, params.id);
        const name = await nameOf(caller, params.id, ownerId);
        const seller = name ?? say('change-car.sure.nobody');
        const buyer = textIn(form, 'owner/email') ?? '';
        return [
          say('change-car.sure.who', { registration: plate, seller, buyer }),
          say('change-car.sure.history'),
          say('change-car.sure.visits'),
        ];
      },
      back,
    },
  });
  answerForm(app, context, {
    path: '/cars/:id/sold/back',
    needs: 'keep-owners',
    record: async ({ caller, params, form }) => {
      await showCar(context, caller, params.id);
      await takeSaleBack(context, caller, params.id, versionIn(form));
      return { to: `/cars/${params.id}?done=sale-back` };
    },
    show: ({ caller, voice, params }, sent) =>
      page(caller, voice, params.id, { form: 'back', sent }),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('change-car.back.sure'),
      button: ({ voice }) => voice.say('change-car.back.button'),
      words: async ({ caller, params, voice: { say } }) => {
        const record = await showCar(context, caller, params.id);
        const last = await lastSale(context, caller, record);
        const names = {
          registration: record.registration,
          seller: last?.seller.name ?? '',
          buyer: (await nameOf(caller, params.id, record.ownerId)) ?? say('change-car.sure.nobody'),
        };
        return [say('change-car.back.who', names), say('change-car.back.buyer', names)];
      },
      back,
    },
  });
  answerForm(app, context, {
    path: '/cars/:id/remove',
    needs: 'keep-owners',
    record: async ({ caller, params, form }) => {
      const { ownerId } = await showCar(context, caller, params.id);
      const erased = await isWithoutOwner(context, caller, params.id);
      await removeCar(context, caller, params.id, versionIn(form));
      return { to: erased ? '/tops' : `/owners/${ownerId}?done=car-removed#removed` };
    },
    show: ({ caller, voice, params }, sent) =>
      page(caller, voice, params.id, { form: 'remove', sent }),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('change-car.remove.sure'),
      button: ({ voice }) => voice.say('change-car.remove.button'),
      words: async ({ caller, params, voice: { say } }) => {
        const { registration: plate, ownerId } = await showCar(context, caller, params.id);
        const owner = await nameOf(caller, params.id, ownerId);
        return [
          owner === null
            ? say('change-car.remove.who.erased', { registration: plate })
            : say('change-car.remove.who', { registration: plate, owner }),
          say('change-car.remove.goes'),
          // Nobody is left on whose page it could be brought back.
          ...(owner === null ? [] : [say('change-car.remove.again')]),
        ];
      },
      back,
    },
  });
}
