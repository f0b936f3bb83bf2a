import multipart from '@fastify/multipart';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { hasRight } from '../../../domain/people/rights.ts';
import { Refused } from '../../../domain/refusal.ts';
import { actingAs } from '../../../usecases/context/acting.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import {
  addPhoto,
  changePhoto,
  listPhotos,
  readPhoto,
  removePhoto,
} from '../../../usecases/photos/photos.ts';
import { LARGEST_PHOTO } from '../../../usecases/photos/shrink-photo.ts';
import { line } from '../../../usecases/records/record-fields.ts';
import { isTicked, readBy, textIn } from '../shop/form-body.ts';
import { isOwnForm, signedIn } from '../shop/session.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import {
  cleanId,
  mayRecord,
  refuseInWords,
  refuseRight,
  renderFor,
  showPage,
} from '../shop/shop-page.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { photosSheet } from './photos-sheet.ts';

interface Asked {
  Params: { id: string };
}

const fields = z.strictObject({
  once: z.uuid('The page came back incomplete. Open it again.'),
  visit: z.string().max(64).optional(),
  pivot: z.string().max(20).optional(),
  words: line(200).optional(),
  letter: z.string().max(10).optional(),
});

const shown = fields.pick({ pivot: true, words: true });

/**
 * Photos of a car: taken with the camera of a telephone, shown, removed. Who sends one is asked before
 * any of it is read; a picture goes out as what it was written as, and browsers guess no other type.
 */
export async function photoPages(app: FastifyInstance, context: Context): Promise<void> {
  showPage(app, context, '/cars/:id/photos', async ({ caller, id, query }) =>
    page(context, caller, id, {
      done: query('done'),
      visit: query('visit') ?? '',
      pivot: query('pivot') ?? '',
      words: (query('words') ?? '').slice(0, 200),
    }),
  );
  for (const size of ['large', 'small'] as const) {
    const path = size === 'large' ? '/photos/:id' : '/photos/:id/small';
    app.get<Asked>(path, { schema: { hide: true } }, async (request, reply) => {
      const caller = await signedIn(request, context);
      if (caller === null) return refuseInWords(request, reply, 401, 'Sign in to see this photo.');
      if (!hasRight(caller, 'read-records')) return refuseRight(request, reply, caller);
      const bytes = await readPhoto(context, caller, cleanId(request.params.id), size);
      return reply
        .header('content-type', 'image/jpeg')
        .header('content-disposition', 'inline; filename="photo.jpg"')
        .header('x-content-type-options', 'nosniff')
        .header('cache-control', 'private, no-store')
        .send(bytes);
    });
  }
  answerForm(app, context, {
    path: '/photos/:id/remove',
    record: async ({ caller, params }) => {
      const { carId } = await removePhoto(context, caller, params.id);
      return { to: `/cars/${carId}/photos?done=removed` };
    },
    show: async ({ caller, voice }, { faults }) =>
      renderFor(
        caller,
        'problem',
        { lang: voice.language, title: voice.say('photos.photo'), nav: { here: 'tops' } },
        {
          heading: voice.say('photos.kept-on'),
          words: faults.map(({ words }) => words),
          back: null,
        },
      ),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('photos.sure'),
      button: ({ voice }) => voice.say('photos.sure.button'),
      words: ({ voice }) => [voice.say('photos.sure.words')],
      back: ({ params }) => `/photos/${params.id}`,
    },
  });
  answerForm(app, context, {
    path: '/photos/:id/change',
    // 200 signs, of which each may be a dozen bytes in a form.
    largest: 4 * 1024,
    record: async ({ caller, params, form }) => {
      const { pivot, words } = readBy(shown, {
        pivot: textIn(form, 'pivot'),
        words: textIn(form, 'words'),
      });
      const typed = { pivot, words, inLetter: isTicked(form, 'letter') };
      const { carId } = await changePhoto(context, caller, params.id, typed);
      return { to: `/cars/${carId}/photos?done=changed` };
    },
    show: async ({ caller, voice }, { faults }) =>
      renderFor(
        caller,
        'problem',
        { lang: voice.language, title: voice.say('photos.photo'), nav: { here: 'tops' } },
        {
          heading: voice.say('photos.not-changed'),
          words: faults.map(({ words }) => words),
          back: null,
        },
      ),
    first: {
      always: false,
      heading: ({ voice }) => voice.say('photos.change.sure'),
      button: ({ voice }) => voice.say('photos.change.keep'),
      words: () => [],
      back: ({ params }) => `/photos/${params.id}`,
    },
  });
  await app.register(async (scope) => takingPhotos(scope, context));
}

async function takingPhotos(scope: FastifyInstance, context: Context): Promise<void> {
  await scope.register(multipart, {
    limits: { fileSize: LARGEST_PHOTO, files: 1, fields: 6, parts: 8, fieldSize: 1024 },
  });
  const options = { schema: { hide: true }, bodyLimit: LARGEST_PHOTO + 64 * 1024 };
  scope.post<Asked>('/cars/:id/photos', options, async (request, reply) => {
    if (!isOwnForm(request, context)) return refuseInWords(request, reply, 403, FOREIGN);
    const caller = await signedIn(request, context);
    if (caller === null) return refuseInWords(request, reply, 401, SIGNED_OUT);
    if (!mayRecord(caller)) return refuseRight(request, reply, caller);
    const carId = cleanId(request.params.id);
    try {
      const { bytes, typed } = await partsOf(request);
      const { once, visit, pivot, words, letter } = readBy(fields, typed);
      const photo = { id: once, bytes, visitId: visit, pivot, words, inLetter: letter === 'yes' };
      await actingAs(context, caller, () => addPhoto(context, caller, carId, photo));
      const back = visit === undefined ? '' : `&visit=${cleanId(visit)}`;
      return reply
        .header('cache-control', 'no-store')
        .redirect(`/cars/${carId}/photos?done=kept${back}`, 303);
    } catch (fault) {
      return refuse(request, reply, fault);
    }
  });
}

async function page(
  context: Context,
  caller: Visitor,
  carId: string,
  asked: {
    readonly done: string | undefined;
    readonly visit: string;
    readonly pivot: string;
    readonly words: string;
  },
): Promise<string> {
  const facts = await listPhotos(context, caller, carId);
  const visit = asked.visit === '' ? '' : cleanId(asked.visit);
  const view = { records: mayRecord(caller), once: freshOnce(), ...asked, visit };
  return renderFor(
    caller,
    'photos',
    ...photosSheet({ carId, ...facts }, view, voiceFor(caller.language)),
  );
}

/** The photo and the fields beside it that say something. */
async function partsOf(
  request: FastifyRequest,
): Promise<{ bytes: Uint8Array; typed: Record<string, string> }> {
  if (!request.isMultipart()) throw new Refused({ kind: 'conflict', detail: NO_PHOTO });
  const typed: Record<string, string> = {};
  let bytes: Uint8Array = new Uint8Array();
  for await (const part of request.parts()) {
    if (part.type === 'file') bytes = await part.toBuffer();
    else if (typeof part.value === 'string' && part.value.trim() !== '') {
      typed[part.fieldname] = part.value.trim();
    }
  }
  if (bytes.length === 0) throw new Refused({ kind: 'conflict', detail: NO_PHOTO });
  return { bytes, typed };
}

function refuse(request: FastifyRequest, reply: FastifyReply, fault: unknown): FastifyReply {
  if (fault instanceof Refused && fault.refusal.kind !== 'not-found') {
    const { refusal } = fault;
    const words =
      refusal.kind === 'invalid'
        ? (refusal.faults ?? []).map(({ detail }) => detail).join(' ')
        : (refusal.detail ?? '');
    return refuseInWords(request, reply, refusal.kind === 'conflict' ? 409 : 400, words);
  }
  const { statusCode } = fault as { statusCode?: number };
  if (statusCode === 413) return refuseInWords(request, reply, 413, TOO_LARGE);
  throw fault;
}

const FOREIGN = 'That form came from another site. Open the page here and take the photo there.';
const SIGNED_OUT = 'You were signed out meanwhile. Sign in again and take the photo once more.';
const NO_PHOTO =
  'No photo came with this. Choose one, or take it with the camera, and press again.';
const TOO_LARGE = `This photo is larger than ${LARGEST_PHOTO / 1024 / 1024} MB. Take it in a smaller size and send it again.`;
