import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { listEstimates } from '../../../usecases/estimates/read-estimates.ts';
import { isWithoutOwner } from '../../../usecases/owners/read-owners.ts';
import { FINDING_OUTCOMES } from '../../../usecases/own/visit-records.ts';
import { decideFinding } from '../../../usecases/visits/decide-finding.ts';
import { findCauses } from '../../../usecases/workshop/find-faults.ts';
import { heldChecks } from '../../../usecases/workshop/held-checks.ts';
import { readOpenWork } from '../../../usecases/workshop/open-work.ts';
import { findCarFaults, planWork, traitsOf } from '../../../usecases/workshop/plan-work.ts';
import { takeBackPlan } from '../../../usecases/workshop/take-back-plan.ts';
import { stateWords } from '../estimates/estimate-sheet.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { isTicked, readBy, textIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { mayRecord, renderFor, showPage } from '../shop/shop-page.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { questionIn, talkIn, type TalkState } from './talk-state.ts';
import { talkSheet } from './talk-sheet.ts';
import { workSheet } from './work-sheet.ts';

/** A form with every sign answered and every joint ticked. */
const LARGEST = 64 * 1024;

const decision = z.strictObject({
  visitId: z.string().max(64),
  outcome: z.enum(FINDING_OUTCOMES),
});

/** Whoever looks, and the voice for them. */
interface Reader {
  readonly caller: Visitor;
  readonly voice: Voice;
}

/** The talk that finds faults, without a car or at one, and the work that it comes to. */
export function faultPages(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/fault-finding', async ({ caller, voice, query }) => {
    const state = talkIn(query);
    const found = await findCauses(context, caller, questionIn(state));
    const held = await heldChecks(context, caller, found);
    const facts = { car: null, top: null, traits: state.top, found, held };
    return renderFor(
      caller,
      'fault-talk',
      ...talkSheet(facts, state, { ...view(caller, null), tells: true }, voice),
    );
  });
  const carTalk = async (
    { caller, voice }: Reader,
    id: string,
    state: TalkState,
    sent: Sent | null,
  ) => {
    const facts = await findCarFaults(context, caller, id, questionIn(state));
    const { car, top, found } = facts;
    const traits = top === null ? {} : traitsOf(top);
    const held = await heldChecks(context, caller, found, top, car.timeZone);
    const seen = {
      ...view(caller, sent),
      tells: !(await isWithoutOwner(context, caller, id)),
    };
    return renderFor(
      caller,
      'fault-talk',
      ...talkSheet({ ...facts, traits, held }, state, seen, voice),
    );
  };
  showPage(app, context, '/cars/:id/fault-finding', ({ id, query, ...reader }) =>
    carTalk(reader, id, talkIn(query), null),
  );
  answerForm(app, context, {
    path: '/cars/:id/fault-finding/work',
    largest: LARGEST,
    record: async ({ caller, params, form }) => {
      await planWork(context, caller, params.id, {
        ...questionIn(stateIn(form)),
        work: chosenIn(form),
        accepted: textIn(form, 'accepted') === 'yes',
        tellOwner: isTicked(form, 'tell'),
      });
      return { to: `/cars/${params.id}/work?done=plan` };
    },
    show: ({ params, form, ...reader }, sent) => carTalk(reader, params.id, stateIn(form), sent),
    fieldAt: (pointer, form) => stepAt(pointer, form),
  });
  const work = async (
    { caller, voice }: Reader,
    id: string,
    done: string | undefined,
    sent: Sent | null,
  ) => {
    const facts = await readOpenWork(context, caller, id);
    const seen = { ...view(caller, sent), done };
    const estimates = (await listEstimates(context, caller, id)).map((one) => ({
      id: one.id,
      number: one.number,
      words: stateWords(one, voice),
    }));
    return renderFor(caller, 'open-work', ...workSheet({ ...facts, estimates }, seen, voice));
  };
  showPage(app, context, '/cars/:id/work', ({ id, query, ...reader }) =>
    work(reader, id, query('done'), null),
  );
  answerForm(app, context, {
    path: '/cars/:id/work/:entryId',
    record: async ({ caller, params, form }) => {
      const { visitId, outcome } = readBy(decision, {
        visitId: textIn(form, 'visitId'),
        outcome: textIn(form, 'outcome'),
      });
      const ids = { visitId, findingId: params.entryId };
      await decideFinding(context, caller, ids, { outcome }, '*');
      return { to: `/cars/${params.id}/work?done=${outcome}` };
    },
    show: ({ params, ...reader }, sent) => work(reader, params.id, undefined, sent),
  });
  answerForm(app, context, {
    path: '/cars/:id/work/:entryId/take-back',
    record: async ({ caller, params }) => {
      const { carId } = await takeBackPlan(context, caller, params.entryId);
      return { to: `/cars/${carId}/work?done=taken-back` };
    },
    show: ({ params, ...reader }, sent) => work(reader, params.id, undefined, sent),
  });
}

function view(caller: Visitor, sent: Sent | null) {
  return {
    records: mayRecord(caller),
    gives: hasRight(caller, 'keep-owners'),
    alone: caller.kind === 'private',
    once: freshOnce(),
    sent,
  };
}

function stateIn(form: SmallForm): TalkState {
  return talkIn((name) => textIn(form, name));
}

/** The step whose joints are asked for; what else is wrong is about the form as a whole. */
function stepAt(pointer: string, form: SmallForm): string | null {
  const [, at] = /^#\/work\/(\d+)\/pivots$/.exec(pointer) ?? [];
  const step = at === undefined ? undefined : chosenIn(form)[Number(at)];
  return step === undefined ? null : `at/${step.fault}`;
}

/** The steps that were left ticked, each with the joints that were. */
function chosenIn(form: SmallForm): { fault: string; pivots: string[] }[] {
  const names = Object.keys(form);
  const behind = (prefix: string) =>
    names.flatMap((name) => (name.startsWith(prefix) ? [name.slice(prefix.length)] : []));
  return behind('take/').map((fault) => ({ fault, pivots: behind(`at/${fault}/`) }));
}
