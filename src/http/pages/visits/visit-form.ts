import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { faultOf } from '../../../domain/faults/fault-rows.ts';
import { changeVisit } from '../../../usecases/visits/change-visit.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { showTop } from '../../../usecases/tops/read-tops.ts';
import {
  day,
  diagonalMm,
  findingFields,
  line,
  readingFields,
  visitMeasures,
} from '../../../usecases/records/record-fields.ts';
import { refuseOddPlays } from '../../../usecases/visits/odd-plays.ts';
import { recordVisit } from '../../../usecases/visits/record-visit.ts';
import { readTopPage, readVisitPage } from '../../../usecases/day/top-page.ts';
import { showVisit } from '../../../usecases/visits/read-visits.ts';
import type { TopRecord } from '../../../usecases/own/top-records.ts';
import type { VisitRecord } from '../../../usecases/own/visit-records.ts';
import { VISIT_KINDS } from '../../../usecases/own/visit-records.ts';
import { declinedWork } from '../../../usecases/day/declined-work.ts';
import { type Voice, voiceFor } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { OTHERS, refuseUnpressed, withoutPreset } from './others-word.ts';
import { SURELY, visitFormSheet } from './visit-form-sheet.ts';
import { FINDINGS_MORE, FINDINGS_SHOWN, MOST_FINDINGS, ALONE, NOT_COUNTED } from './visit-rows.ts';
import { dayIn, isTicked, numberIn, readBy, textIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce, pathOf, type Sending } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';
import type { SmallForm } from '../frame/small-form.ts';

const MOST_PIVOTS = 60;
/** A form with sixty pivots and long notes in an alphabet that takes nine bytes a letter. */
const LARGEST = 192 * 1024;

const { minutes, swayMm, breakawayN, notes } = visitMeasures;
const work = {
  doneOn: day,
  minutes,
  readings: z.array(z.strictObject({ pivot: line(20), ...readingFields })),
  swayMm,
  diagonalsMm: z.strictObject({ left: diagonalMm, right: diagonalMm }).optional(),
  breakawayN,
  findings: z.array(z.strictObject(findingFields)),
  notes,
};
const bookedWork = z.strictObject(work);
const newVisit = z.strictObject({ kind: z.enum(VISIT_KINDS), ...work });

/** The form for what was done on a visit, booked before or not. */
export function visitForms(app: FastifyInstance, context: Context): void {
  const ofTop = async (caller: Visitor, id: string, kind: string, sent: Sent | null) => {
    const facts = await readTopPage(context, caller, id);
    const declined = await declinedWork(context, caller, id);
    const view = { once: freshOnce(), sent, kind };
    const voice = voiceFor(caller.language);
    const sheet = visitFormSheet({ ...facts, visit: null, declined }, view, voice);
    return renderFor(caller, 'visit-form', ...sheet);
  };
  showForm(app, context, '/tops/:id/visit', ({ caller, id, query }) =>
    ofTop(caller, id, VISIT_KINDS.find((known) => known === query('kind')) ?? 'lubrication', null),
  );
  answerForm(app, context, {
    path: '/tops/:id/visit',
    largest: LARGEST,
    record: async ({ caller, params, form, voice }) => {
      const top = await showTop(context, caller, params.id);
      refuseUnpressed(form);
      const kind = textIn(form, 'kind');
      const visit = readBy(newVisit, { kind, ...workIn(form, top, voice) });
      await refuseOddPlays(context, caller, visit, isTicked(form, SURELY));
      const { id } = await recordVisit(context, caller, params.id, visit);
      return { to: `/visits/${id}/record?done=visit` };
    },
    show: ({ caller, params, form }, sent) =>
      ofTop(caller, params.id, form['kind'] ?? '', withoutPreset(withRoom(sent))),
    fieldAt,
    wantsMore,
  });
  const ofBooking = async (caller: Visitor, id: string, sent: Sent | null) => {
    const facts = await readVisitPage(context, caller, id);
    const declined = await declinedWork(context, caller, facts.top.id);
    const view = { once: freshOnce(), sent, kind: facts.visit.kind };
    const sheet = visitFormSheet({ ...facts, declined }, view, voiceFor(caller.language));
    return renderFor(caller, 'visit-form', ...sheet);
  };
  showForm(app, context, '/visits/:id/done', ({ caller, id }) => ofBooking(caller, id, null));
  answerForm(app, context, {
    path: '/visits/:id/done',
    largest: LARGEST,
    record: async ({ caller, params, form, voice }: Sending) => {
      const { topId } = await showVisit(context, caller, params.id);
      const typed = benchWorkIn(form, await showTop(context, caller, topId), voice);
      await refuseOddPlays(context, caller, typed, isTicked(form, SURELY));
      await changeVisit(context, caller, params.id, typed, versionIn(form));
      return { to: `/visits/${params.id}/record?done=visit` };
    },
    show: ({ caller, params }, sent) => ofBooking(caller, params.id, withRoom(sent)),
    fieldAt,
    wantsMore,
  });
}

/** What the form of a booked visit says was done, in the shape of the use case. */
export function benchWorkIn(form: SmallForm, top: Pick<TopRecord, 'pivots'>, voice: Voice) {
  return readBy(bookedWork, workIn(form, top, voice));
}

/** What the form of a correction says, in the shape of the use case. */
export function correctionIn(
  form: SmallForm,
  visit: VisitRecord,
  top: Pick<TopRecord, 'pivots'>,
  voice: Voice,
) {
  const typed = workIn(form, top, voice);
  const ids = findingRows(form).map((row) => visit.findings[row]?.id);
  const read = readBy(newVisit, { kind: textIn(form, 'kind'), ...typed });
  return { ...read, findings: read.findings.map((finding, i) => ({ ...finding, id: ids[i] })) };
}

export { fieldAt, LARGEST, wantsMore, withRoom };

function wantsMore(form: SmallForm): boolean {
  return isTicked(form, 'more');
}

/** The form with more room for findings, where it was sent for that. */
function withRoom(sent: Sent): Sent {
  if (!wantsMore(sent.typed)) return sent;
  const findings = Math.min(MOST_FINDINGS, findingsIn(sent.typed) + FINDINGS_MORE);
  return { ...sent, typed: { ...sent.typed, findings: String(findings) } };
}

function findingsIn(form: SmallForm): number {
  const count = Number(textIn(form, 'findings') ?? FINDINGS_SHOWN);
  return Number.isInteger(count) ? Math.min(MOST_FINDINGS, Math.max(0, count)) : 0;
}

/** What the form says was done, in the shape of the API's body. */
function workIn(form: SmallForm, { pivots }: Pick<TopRecord, 'pivots'>, voice: Voice) {
  const left = numberIn(form, 'diagonalsMm/left');
  const right = numberIn(form, 'diagonalsMm/right');
  const expected = new Map(
    pivots.flatMap(({ code, washersExpected }): [string, number][] =>
      // Nobody counts washers at a joint that takes none.
      washersExpected === 0 ? [] : [[code, washersExpected]],
    ),
  );
  return {
    doneOn: dayIn(form, 'doneOn', voice) ?? '',
    minutes: numberIn(form, 'minutes'),
    readings: readingRows(form).map((row) => readingIn(form, row, expected)),
    swayMm: numberIn(form, 'swayMm'),
    diagonalsMm: left === undefined && right === undefined ? undefined : { left, right },
    breakawayN: numberIn(form, 'breakawayN'),
    findings: findingRows(form).map((row) => findingIn(form, row, voice)),
    notes: textIn(form, 'notes'),
  };
}

/**
 * The rows of pivots that are recorded: all of them, or those of which something was said. What is said
 * of all others at one press is not said of a joint that must not be used: a seized one turns free by a
 * word of its own, not by silence.
 */
function readingRows(form: SmallForm): number[] {
  const all = othersIn(form) !== 'none';
  return rowsOf(MOST_PIVOTS).filter((row) => {
    if (textIn(form, `readings/${row}/pivot`) === undefined) return false;
    return (
      (all && !standsAlone(form, row)) ||
      READING_FIELDS.some((name) => isTicked(form, `readings/${row}/${name}`))
    );
  });
}

function readingIn(form: SmallForm, row: number, expected: ReadonlyMap<string, number>) {
  const at = (name: string) => `readings/${row}/${name}`;
  const others = othersIn(form);
  const pivot = textIn(form, at('pivot')) ?? '';
  const oil = textIn(form, at('oil'));
  const oiled = oil === undefined ? others === 'oiled' : oil === 'yes';
  const counted = textIn(form, at('washersPresent'));
  return {
    pivot,
    state:
      textIn(form, at('state')) ??
      (others === 'none' || standsAlone(form, row) ? undefined : 'free'),
    oiled,
    repaired: isTicked(form, at('repaired')),
    lubricant: oiled ? (textIn(form, 'lubricant') ?? textIn(form, at('lubricant'))) : undefined,
    washersPresent:
      counted === NOT_COUNTED
        ? undefined
        : (numberIn(form, at('washersPresent')) ?? expected.get(pivot)),
    axialPlayMm: numberIn(form, at('axialPlayMm')),
    radialPlayMm: numberIn(form, at('radialPlayMm')),
  };
}

function standsAlone(form: SmallForm, row: number): boolean {
  return isTicked(form, `readings/${row}/${ALONE}`);
}

function othersIn(form: SmallForm): (typeof OTHERS)[number] {
  return OTHERS.find((known) => known === form['others']) ?? 'none';
}

/** The rows of findings in which something was said. */
function findingRows(form: SmallForm): number[] {
  return rowsOf(findingsIn(form)).filter(
    (row) =>
      FINDING_FIELDS.some((name) => isTicked(form, `findings/${row}/${name}`)) ||
      (textIn(form, `findings/${row}/outcome`) ?? 'advised') !== 'advised',
  );
}

/** A fault of the list is called by its name where nothing else was written. */
function findingIn(form: SmallForm, row: number, { tell }: Voice) {
  const at = (name: string) => textIn(form, `findings/${row}/${name}`);
  const fault = at('fault');
  const named = faultOf(fault ?? '')?.item;
  return {
    fault,
    pivot: at('pivot'),
    text: at('text') ?? (named === undefined ? undefined : tell(named)),
    advised: at('advised'),
    outcome: at('outcome'),
  };
}

/** The field that a pointer means: what was not said is left out of the body, but not of the form. */
function fieldAt(pointer: string, form: SmallForm): string | null {
  const [, list = '', at = '', name = ''] =
    /^#\/(readings|findings)\/(\d+)(?:\/(\w+))?$/.exec(pointer) ?? [];
  if (list === '') return pathOf(pointer);
  const row = (list === 'readings' ? readingRows(form) : findingRows(form))[Number(at)] ?? 0;
  const shown = list === 'readings' && ['pivot', 'oiled', ''].includes(name) ? 'state' : name;
  return `${list}/${row}/${shown === '' ? 'text' : shown}`;
}

function rowsOf(count: number): number[] {
  return Array.from({ length: count }, (_, row) => row);
}

const READING_FIELDS = [
  'state',
  'oil',
  'washersPresent',
  'axialPlayMm',
  'radialPlayMm',
  'repaired',
] as const;
const FINDING_FIELDS = ['fault', 'pivot', 'text', 'advised'] as const;
