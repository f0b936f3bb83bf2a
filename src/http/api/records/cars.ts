import { z } from 'zod';
import { addCar } from '../../../usecases/cars/add-car.ts';
import { changeCar } from '../../../usecases/cars/change-car.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { listCars, showCar } from '../../../usecases/cars/read-cars.ts';
import { bringCarBack, removeCar } from '../../../usecases/cars/remove-car.ts';
import {
  carWords,
  handbookFields,
  keepingFields,
  orNull,
  registration,
} from '../../../usecases/records/record-fields.ts';
import { created, tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { id, idParams, line, pageOf, pageQuery, timeZone, version } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, recordRefusals, refusals } from '../../gate/routes.ts';

const handbook = z.strictObject(handbookFields);
const keeping = z.strictObject(keepingFields);

const another = z.boolean().optional().meta({
  description:
    'True where it is another car than the one that its owner has in care with the same registration; without it such a car is refused (409), for it would be recorded twice.',
});

const newCar = z.strictObject({
  ownerId: id,
  registration,
  timeZone: timeZone.optional(),
  handbook: handbook.default({}),
  keeping: keeping.default({}),
  ...carWords,
  another,
});
const carChange = z
  .strictObject({
    ownerId: id,
    registration,
    timeZone,
    handbook,
    keeping,
    ...orNull(carWords),
    another,
  })
  .partial();

export const car = z
  .object({
    id,
    ownerId: id,
    registration: z.string(),
    timeZone: z.string(),
    handbook: z.object({ foldedLimitDays: z.int(), foldFloorCelsius: z.number().nullable() }),
    keeping: z.object({
      place: z.string().nullable(),
      salt: z.string().nullable(),
      use: z.string().nullable(),
      foldsPerYear: z.int().nullable(),
      unmovedDays: z.int().nullable(),
    }),
    make: z.string().nullable(),
    model: z.string().nullable(),
    year: z.int().nullable(),
    colour: z.string().nullable(),
    createdAt: z.string(),
    version,
  })
  .meta({
    id: 'Car',
    description: 'A car: what its handbook says and how it is kept; null where nobody has told.',
  });

const listQuery = pageQuery.extend({
  ownerId: id.optional(),
  search: line(100).optional().meta({
    description:
      'Part of the registration, blanks left out, of the owner’s name, of make and model, or of the mail address where there is an @ in it; digits of the telephone number, or what the postcode begins with. Case and accents do not matter, and every character stands for itself.',
    example: 'FK 1',
  }),
});

/** Cars: add, list, show, change. */
export function carRoutes(app: Routes, context: Context): void {
  const tags = ['cars'];
  app.post(
    '/cars',
    {
      schema: {
        tags,
        summary: 'Add a car',
        body: newCar,
        response: { 201: car, ...recordRefusals },
      },
    },
    (request, reply) => created(reply, '/v1/cars', addCar(context, caller(request), request.body)),
  );
  app.get(
    '/cars',
    {
      schema: {
        tags,
        summary: 'List cars, or find them by registration or owner',
        querystring: listQuery,
        response: { 200: pageOf(car), ...refusals },
      },
    },
    (request) => listCars(context, caller(request), request.query),
  );
  app.get(
    '/cars/:id',
    {
      schema: {
        tags,
        summary: 'Show a car',
        params: idParams,
        response: { 200: car, ...refusals },
      },
    },
    (request, reply) => tagged(reply, showCar(context, caller(request), request.params.id)),
  );
  app.patch(
    '/cars/:id',
    {
      schema: {
        tags,
        summary: 'Change a car; a change of keeping works out its lubrication anew',
        params: idParams,
        body: carChange,
        response: { 200: car, ...changeRefusals },
      },
    },
    async (request, reply) => {
      const { params, body } = request;
      return tagged(
        reply,
        changeCar(context, caller(request), params.id, body, versionAsked(request)),
      );
    },
  );
  app.delete(
    '/cars/:id',
    {
      schema: {
        tags,
        summary: 'Remove a car that was typed in by mistake',
        description:
          'Its tops, links and the letters about it that wait go along. Refused (409), with what to do instead in `errors`, where a visit took place or is booked, a letter has left, or anything else hangs on it.',
        params: idParams,
        response: { 204: z.null(), ...changeRefusals },
      },
    },
    async (request, reply) => {
      await removeCar(context, caller(request), request.params.id, versionAsked(request));
      return reply.code(204).send(null);
    },
  );
  app.post(
    '/cars/:id/bring-back',
    {
      schema: {
        tags,
        summary: 'Bring a car back that was removed',
        description:
          'To the owner it had, with its tops, their joints and visits that were called off. Its links are gone.',
        params: idParams,
        response: { 200: car, ...recordRefusals },
      },
    },
    (request, reply) => tagged(reply, bringCarBack(context, caller(request), request.params.id)),
  );
}
