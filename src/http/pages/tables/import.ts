import multipart from '@fastify/multipart';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { setTimeout as wait } from 'node:timers/promises';
import type { Right } from '../../../domain/people/rights.ts';
import { hasRight } from '../../../domain/people/rights.ts';
import { invalid, Refused } from '../../../domain/refusal.ts';
import { plainName } from '../../../domain/tables/guess-columns.ts';
import type { OwnWords } from '../../../domain/tables/own-words.ts';
import type { ForAllLines, TableField } from '../../../domain/tables/table-fields.ts';
import {
  FIELD_MEANINGS,
  FOR_ALL_LINES,
  TABLE_FIELDS,
} from '../../../domain/tables/table-fields.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { MOST_BYTES } from '../../../usecases/tables/grid.ts';
import { handIn, listRuns, nameColumns, showRun } from '../../../usecases/tables/import-runs.ts';
import type { ImportSettings } from '../../../usecases/tables/import-settings.ts';
import { readTakingBack, undoFreeCars, undoRun } from '../../../usecases/tables/take-back-run.ts';
import { takeInRun } from '../../../usecases/tables/take-in-run.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { sendShopPage } from '../frame/page-answer.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { fieldsOf } from '../frame/small-form.ts';
import { textIn } from '../shop/form-body.ts';
import { faultsInForm } from '../shop/refusal-words.ts';
import { isOwnForm, signedIn } from '../shop/session.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce, pathOf } from '../shop/shop-form.ts';
import { voiceOf } from '../frame/spoken-to.ts';
import { cleanId, refuseForm, refuseRight, renderFor, showPage } from '../shop/shop-page.ts';
import { ENCODINGS, importSheet, SEPARATORS } from './import-sheet.ts';
import { SAYS_NOTHING } from './import-open-sheet.ts';
import { runSheet } from './import-run-sheet.ts';

const NEEDS: Right = 'manage-organisation';
const LARGEST = 32 * 1024;
/** How long a press waits for a table to be taken in before it shows how far it has come. */
const PATIENCE_MS = 1_500;

const PLATES_SHOWN = 30;

/** How far the tables that are being taken in have come, and what stopped those that were not. */
type Working = Map<string, { words: string; fault: string | null }>;

/** Tables that a shop has are handed in, looked at, taken in, and taken back. */
export function importPages(app: FastifyInstance, context: Context): void {
  const working: Working = new Map();
  const start = async (caller: Visitor, voice: Voice, sent: Sent | null) =>
    renderFor(caller, 'import', ...importSheet(await listRuns(context, caller), sent, voice));
  showPage(app, context, '/import', ({ caller, voice }) => start(caller, voice, null), NEEDS);
  void app.register(async (scope) => {
    await scope.register(multipart, {
      limits: { fileSize: MOST_BYTES, files: 1, fields: 5, fieldSize: 200, parts: 7 },
    });
    scope.post(
      '/import',
      { schema: { hide: true }, bodyLimit: MOST_BYTES + LARGEST },
      (request, reply) => handedIn(context, start, request, reply),
    );
  });
  const page = async (
    { caller, voice }: { readonly caller: Visitor; readonly voice: Voice },
    id: string,
    sent: Sent | null,
    done?: string,
  ) => {
    const run = await showRun(context, caller, id);
    const back = run.state === 'done' ? await readTakingBack(context, caller, id) : null;
    const fault = working.get(id)?.fault ?? null;
    return renderFor(
      caller,
      'import-run',
      ...runSheet(run, back, { once: freshOnce(), sent, done, fault }, voice),
    );
  };
  app.get<{ Params: { id: string }; Querystring: Record<string, unknown> }>(
    '/import/:id',
    { schema: { hide: true } },
    async (request, reply) => {
      const caller = await signedIn(request, context);
      if (caller === null) return reply.redirect('/sign-in', 303);
      if (!hasRight(caller, NEEDS)) return refuseRight(request, reply, caller);
      const id = cleanId(request.params.id);
      const now = working.get(id);
      if (now !== undefined && now.fault === null) {
        void reply.header('refresh', '2');
        return sendShopPage(
          reply,
          renderFor(caller, 'import-working', ...workingSheet(now.words, voiceOf(request))),
        );
      }
      const { done } = request.query;
      return sendShopPage(
        reply,
        await page(
          { caller, voice: voiceOf(request) },
          id,
          null,
          typeof done === 'string' ? done : '',
        ),
      );
    },
  );
  const back = ({ params }: Sending) => `/import/${params.id}`;
  answerForm(app, context, {
    path: '/import/:id/columns',
    needs: NEEDS,
    largest: LARGEST,
    record: async ({ caller, params, form, voice }) => {
      await nameColumns(context, caller, params.id, settingsIn(form, voice));
      return { to: `/import/${params.id}?done=named#what` };
    },
    show: (sending, sent) => page(sending, sending.params.id, sent),
  });
  app.post<{ Params: { id: string } }>(
    '/import/:id/take',
    { schema: { hide: true }, bodyLimit: LARGEST },
    async (request, reply) => {
      if (!isOwnForm(request, context)) return refuseForm(request, reply, 403, 'form.foreign');
      const caller = await signedIn(request, context);
      if (caller === null) return reply.redirect('/sign-in', 303);
      if (!hasRight(caller, NEEDS)) return refuseRight(request, reply, caller);
      const id = cleanId(request.params.id);
      const goodLinesOnly = fieldsOf(request.body)['lines'] === 'good';
      await takeIn(context, working, caller, id, goodLinesOnly, request);
      return reply.header('cache-control', 'no-store').redirect(`/import/${id}`, 303);
    },
  );
  answerForm(app, context, {
    path: '/import/:id/undo',
    needs: NEEDS,
    record: async ({ caller, params }) => {
      await undoRun(context, caller, params.id);
      return { to: `/import/${params.id}` };
    },
    show: (sending, sent) => page(sending, sending.params.id, sent),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('import.sure'),
      button: ({ voice }) => voice.say('import.undo'),
      words: ({ voice }) => [voice.say('import.sure.whole')],
      back,
    },
  });
  answerForm(app, context, {
    path: '/import/:id/undo-cars',
    needs: NEEDS,
    record: async ({ caller, params }) => {
      const count = await undoFreeCars(context, caller, params.id);
      return { to: `/import/${params.id}?done=${count}-back` };
    },
    show: (sending, sent) => page(sending, sending.params.id, sent),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('import.sure'),
      button: ({ voice }) => voice.say('import.undo'),
      words: async ({ caller, params, voice }) => {
        const { cars = [] } = (await readTakingBack(context, caller, params.id)) ?? {};
        const free = cars.filter(({ keeps }) => keeps.length === 0);
        const plates = free.slice(0, PLATES_SHOWN).map(({ registration }) => registration);
        const more = free.length - plates.length;
        return [
          voice.count('import.sure.cars', free.length),
          more > 0
            ? `${plates.join(', ')} ${voice.say('import.more', { n: String(more) })}`
            : plates.join(', '),
          voice.say('import.sure.stays'),
        ];
      },
      back,
    },
  });
}

async function handedIn(
  context: Context,
  start: (caller: Visitor, voice: Voice, sent: Sent | null) => Promise<string>,
  request: FastifyRequest,
  reply: FastifyReply,
): Promise<FastifyReply> {
  if (!isOwnForm(request, context)) return refuseForm(request, reply, 403, 'form.foreign');
  const caller = await signedIn(request, context);
  if (caller === null) return reply.redirect('/sign-in', 303);
  if (!hasRight(caller, NEEDS)) return refuseRight(request, reply, caller);
  const voice = voiceOf(request);
  const typed: Record<string, string> = {};
  try {
    let file: { name: string; bytes: Buffer } | null = null;
    for await (const part of partsOf(request)) {
      if (part.type === 'field') typed[part.fieldname] = String(part.value);
      else file = { name: part.filename, bytes: await part.toBuffer() };
    }
    if (file === null || file.bytes.length === 0) throw invalid('#/file', 'Choose the file first.');
    const id = await handIn(context, caller, file, {
      separator: SEPARATORS.find(({ value }) => value !== '' && value === typed['separator'])?.sign,
      encoding: ENCODINGS.find((one) => one !== '' && one === typed['encoding']),
      sheet: textIn(typed, 'sheet'),
    });
    return await reply.header('cache-control', 'no-store').redirect(`/import/${id}`, 303);
  } catch (fault) {
    if ((fault as { code?: string }).code === 'FST_REQ_FILE_TOO_LARGE') {
      const mb = voice.locale.number(MOST_BYTES / 1e6);
      const words = voice.say('import.file.large', { mb });
      const sent = { typed, faults: [{ field: 'file', words }] };
      return sendShopPage(reply, await start(caller, voice, sent), 413);
    }
    if (!(fault instanceof Refused)) throw fault;
    const faults = faultsInForm(fault.refusal, pathOf, voice);
    return sendShopPage(reply, await start(caller, voice, { typed, faults }), 400);
  }
}

function partsOf(request: FastifyRequest) {
  if (request.isMultipart()) return request.parts();
  throw invalid('#/file', 'Choose the file first.');
}

async function takeIn(
  context: Context,
  working: Working,
  caller: Visitor,
  id: string,
  goodLinesOnly: boolean,
  request: FastifyRequest,
): Promise<void> {
  const before = working.get(id);
  if (before !== undefined && before.fault === null) return;
  const now = { words: 'It has begun.', fault: null as string | null };
  working.set(id, now);
  const progress = (words: string) => {
    now.words = words;
  };
  const work = takeInRun(context, caller, id, { goodLinesOnly, progress }).then(
    () => void working.delete(id),
    (fault: unknown) => {
      if (!(fault instanceof Refused)) request.log.error(fault);
      now.fault = fault instanceof Refused ? fault.message : BROKE_OFF;
    },
  );
  await Promise.race([work, wait(PATIENCE_MS, undefined, { ref: false })]);
}

/** What a form says of the columns of a table. */
function settingsIn(form: SmallForm, { say, tell }: Voice): ImportSettings {
  const columns: Partial<Record<TableField, number>> = {};
  for (const [name, value] of Object.entries(form)) {
    const [, column] = /^column\/(\d{1,3})$/.exec(name) ?? [];
    const field = TABLE_FIELDS.find((known) => known === value);
    if (column === undefined || field === undefined) continue;
    if (columns[field] !== undefined) {
      const title = tell(FIELD_MEANINGS[field].title);
      const detail = say('import.column.taken', { field: title });
      throw invalid(`#/${name}`, detail);
    }
    columns[field] = Number(column);
  }
  const forAll = Object.fromEntries(
    FOR_ALL_LINES.flatMap((field) => {
      const value = textIn(form, `all/${field}`);
      return value === undefined ? [] : [[field, value.slice(0, 80)]];
    }),
  );
  return {
    columns,
    words: wordsIn(form),
    dayOrder: form['dayOrder'] === 'month-first' ? 'month-first' : 'day-first',
    daysSaid: textIn(form, 'dayOrder') !== undefined,
    decimal: form['decimal'] === ',' ? ',' : '.',
    forAll,
  };
}

/** What a form says of the own words of a table, each of which it names beside its answer. */
function wordsIn(form: SmallForm): OwnWords {
  const words: Partial<Record<ForAllLines, Record<string, string>>> = {};
  for (const [name, word] of Object.entries(form)) {
    const [, kind = '', place = ''] = /^own\/(\w+)\/(\d{1,3})$/.exec(name) ?? [];
    const field = FOR_ALL_LINES.find((known) => known === kind);
    const means = form[`word/${kind}/${place}`];
    if (field === undefined || means === undefined || means === '') continue;
    const plain = plainName(word.slice(0, 80));
    words[field] = { ...words[field], [plain]: means === SAYS_NOTHING ? '' : means.slice(0, 80) };
  }
  return words;
}

function workingSheet(
  words: string,
  { language, say, tell }: Voice,
): [{ lang: string; title: string; nav: { here: string } }, { words: string }] {
  return [
    { lang: language, title: say('import.working.title'), nav: { here: 'settings' } },
    { words: tell(words) },
  ];
}

const BROKE_OFF =
  'It broke off, and nothing was taken in. Press again; if it breaks off again, look into the log.';

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'import-working': { readonly words: string };
  }
}
