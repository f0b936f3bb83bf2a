import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { dayIn } from '../../../domain/calendar/zone.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { fitTop } from '../../../usecases/tops/fit-top.ts';
import { listPatterns } from '../../../usecases/tops/frame-patterns.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { showCar } from '../../../usecases/cars/read-cars.ts';
import { selfOf } from '../../../usecases/owners/self.ts';
import { showOwner } from '../../../usecases/owners/read-owners.ts';
import { listTops } from '../../../usecases/tops/read-tops.ts';
import {
  carWords,
  coverMaterial,
  day,
  handbookFields,
  keepingFields,
  orNull,
  ownerFields,
  patternName,
  registration,
  topWords,
  warranties,
  windowKind,
} from '../../../usecases/records/record-fields.ts';
import { takeIntoCare } from '../../../usecases/day/take-into-care.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { ownWords } from '../../../usecases/cars/earlier-words.ts';
import { carWordsIn, topWordsIn } from './word-fields.ts';
import { newCarSheet, recoverSheet, WARRANTIES_SHOWN } from './new-car-sheet.ts';
import { dayIn as typedDay, isTicked, numberIn, readBy, textIn } from '../shop/form-body.ts';
import { ownerIn } from '../owners/owner-desk.ts';
import { answerForm, freshOnce, pathOf } from '../shop/shop-form.ts';
import { cleanId, renderFor, showForm } from '../shop/shop-page.ts';
import type { SmallForm } from '../frame/small-form.ts';

const LARGEST = 16 * 1024;
// As many tops as a car will ever have.
const TOPS_LOOKED_AT = 200;

const topShape = {
  fittedOn: day,
  framePattern: patternName,
  cover: z.strictObject({ material: coverMaterial }),
  window: windowKind,
  powered: z.boolean().optional(),
  warranties,
  ...orNull(topWords),
};
const fitting = z.strictObject(topShape);
const carShape = {
  registration,
  handbook: z.strictObject(handbookFields),
  keeping: z.strictObject(keepingFields),
  ...orNull(carWords),
  ...topShape,
};
const knownOwner = z.strictObject(carShape);
const newOwner = z.strictObject({ owner: z.strictObject(ownerFields), ...carShape });

/** A new car in care, and a new top on a car. */
export function newCarPages(app: FastifyInstance, context: Context): void {
  const newPage = async (
    caller: Visitor,
    voice: Voice,
    ownerId: string | undefined,
    sent: Sent | null,
  ) => {
    const organisation = await showOrganisation(context, caller);
    const self = caller.kind === 'private' ? await selfOf(context, caller) : null;
    const id = ownerId ?? self?.ownerId ?? undefined;
    const facts = {
      organisation,
      today: dayIn(organisation.timeZone, context.now()),
      owner: id === undefined ? null : await showOwner(context, caller, cleanId(id)),
      self,
      patterns: await listPatterns(context, caller),
      words: await ownWords(context, caller),
    };
    return renderFor(caller, 'new-car', ...newCarSheet(facts, freshOnce(), sent, voice));
  };
  showForm(
    app,
    context,
    '/new',
    ({ caller, voice, query }) => newPage(caller, voice, query('owner'), null),
    'keep-owners',
  );
  answerForm(app, context, {
    path: '/new',
    needs: 'keep-owners',
    largest: LARGEST,
    record: async ({ caller, form, voice }) => {
      const { car, ...typed } = await careIn(context, caller, form, voice);
      const another = isTicked(form, 'another');
      const { carId } = await takeIntoCare(context, caller, { ...typed, car: { ...car, another } });
      return { to: caller.kind === 'private' ? '/mine' : `/cars/${carId}?done=added` };
    },
    show: ({ caller, voice, form }, sent) => newPage(caller, voice, textIn(form, 'owner'), sent),
    fieldAt,
  });
  const topPage = async (caller: Visitor, voice: Voice, carId: string, sent: Sent | null) => {
    const car = await showCar(context, caller, carId);
    const { items } = await listTops(context, caller, { carId, limit: TOPS_LOOKED_AT });
    const facts = {
      car,
      today: dayIn(car.timeZone, context.now()),
      top: items.find(({ retiredOn }) => retiredOn === null) ?? null,
      patterns: await listPatterns(context, caller),
      words: await ownWords(context, caller),
    };
    return renderFor(caller, 'recover', ...recoverSheet(facts, freshOnce(), sent, voice));
  };
  showForm(app, context, '/cars/:id/top', ({ caller, voice, id }) =>
    topPage(caller, voice, id, null),
  );
  answerForm(app, context, {
    path: '/cars/:id/top',
    largest: LARGEST,
    record: async ({ caller, params, form, voice }) => {
      const { id: carId } = await showCar(context, caller, params.id);
      const { id } = await fitTop(context, caller, {
        carId,
        ...readBy(fitting, topIn(form, voice)),
      });
      return { to: `/tops/${id}?done=fitted` };
    },
    show: ({ caller, voice, params }, sent) => topPage(caller, voice, params.id, sent),
    fieldAt,
    first: {
      always: false,
      heading: ({ voice }) => voice.say('re-cover.sure'),
      button: ({ voice }) => voice.say('re-cover.sure.button'),
      words: ({ voice }) => [voice.say('change.sure.letters')],
      back: ({ params }) => `/cars/${params.id}/top`,
    },
  });
}

async function careIn(context: Context, caller: Visitor, form: SmallForm, voice: Voice) {
  const ownerId = textIn(form, 'owner');
  if (ownerId === undefined) {
    const typed = {
      owner: ownerIn(form, (name) => `owner/${name}`),
      ...carIn(form),
      ...topIn(form, voice),
    };
    const { owner, ...rest } = readBy(newOwner, typed);
    return { owner, ...apart(rest) };
  }
  const { id } = await showOwner(context, caller, cleanId(ownerId));
  return { owner: id, ...apart(readBy(knownOwner, { ...carIn(form), ...topIn(form, voice) })) };
}

/** The car and its top, which the form has side by side. */
function apart(typed: z.output<typeof knownOwner>) {
  const { registration: plate, handbook, keeping, make, model, year, colour, ...top } = typed;
  return { car: { registration: plate, handbook, keeping, make, model, year, colour }, top };
}

/** What a form says of a car. */
export function carIn(form: SmallForm) {
  return {
    registration: textIn(form, 'registration') ?? '',
    ...carWordsIn(form),
    handbook: {
      foldedLimitDays: numberIn(form, 'handbook/foldedLimitDays'),
      foldFloorCelsius: numberIn(form, 'handbook/foldFloorCelsius'),
    },
    keeping: {
      place: textIn(form, 'keeping/place'),
      salt: textIn(form, 'keeping/salt'),
      use: textIn(form, 'keeping/use'),
      foldsPerYear: numberIn(form, 'keeping/foldsPerYear'),
    },
  };
}

/** What a form says of a top. */
export function topIn(form: SmallForm, voice: Voice) {
  const powered = textIn(form, 'powered');
  return {
    fittedOn: typedDay(form, 'fittedOn', voice) ?? '',
    framePattern: textIn(form, 'framePattern') ?? '',
    cover: { material: textIn(form, 'cover/material') },
    window: textIn(form, 'window'),
    powered: powered === undefined ? undefined : powered === 'yes',
    warranties: warrantyRows(form).map((row) => ({
      part: textIn(form, `warranties/${row}/part`) ?? '',
      months: numberIn(form, `warranties/${row}/months`),
    })),
    ...topWordsIn(form),
  };
}

/** The rows of warranties in which something was said. */
function warrantyRows(form: SmallForm): number[] {
  return Array.from({ length: WARRANTIES_SHOWN }, (_, row) => row).filter((row) =>
    ['part', 'months'].some((name) => textIn(form, `warranties/${row}/${name}`) !== undefined),
  );
}

/** The field that a pointer means: empty rows of warranties are left out of what is recorded. */
export function fieldAt(pointer: string, form: SmallForm): string | null {
  const [, at = '', name = ''] = /^#\/warranties\/(\d+)\/(\w+)$/.exec(pointer) ?? [];
  if (name === '') return pathOf(pointer);
  return `warranties/${warrantyRows(form)[Number(at)] ?? 0}/${name}`;
}
