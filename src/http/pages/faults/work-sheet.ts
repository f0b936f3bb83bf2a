import type { OpenWork } from '../../../usecases/workshop/open-work.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { cautionLines, type CautionFacts } from '../frame/caution-words.ts';
import { sentence } from '../../../views/words/written.ts';
import { jointWords } from '../frame/finding-words.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { nobodyLeft, type NobodyModel } from '../frame/nobody-words.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import {
  type PlanFacts,
  planSum,
  type StepFacts,
  workWords,
  type WorkWords,
} from './plan-words.ts';

interface FindingFacts {
  readonly id: string;
  readonly visitId: string;
  readonly fault: string | null;
  readonly pivot: string | null;
  readonly text: string;
  readonly advised: string;
  readonly accepted: boolean;
  readonly on: Day;
}

export interface WorkFacts {
  readonly car: { readonly id: string; readonly registration: string };
  readonly erased: boolean;
  readonly top: { readonly id: string; readonly mayMove: MayMove } | null;
  readonly plan: PlanFacts & CautionFacts & { readonly steps: readonly StepFacts[] };
  readonly findings: readonly FindingFacts[];
  readonly read: readonly { readonly fault: string; readonly pivot: string; readonly on: Day }[];
  readonly parts: OpenWork['parts'];
  readonly next: OpenWork['next'];
  /** Estimates that were made, the newest first, with how they stand in words. */
  readonly estimates: readonly {
    readonly id: string;
    readonly number: number;
    readonly words: string;
  }[];
}

interface PieceModel {
  readonly where: string;
  readonly text: string;
  readonly said: string;
  readonly action: string;
  readonly visitId: string;
  readonly outcomes: readonly { readonly value: string; readonly words: string }[];
}

export interface OpenWorkModel extends ShopStay {
  readonly registration: string;
  readonly carHref: string;
  readonly talkHref: string;
  readonly nobody: NobodyModel | null;
  readonly done: string;
  readonly form: FormModel;
  readonly records: boolean;
  readonly steps: readonly (WorkWords & {
    readonly number: number;
    /** What readings say, which a repair ends and no press here. */
    readonly read: readonly string[];
    readonly pieces: readonly PieceModel[];
  })[];
  /** Findings that no step of the list stands for, or that another step cures. */
  readonly others: readonly PieceModel[];
  readonly sum: readonly string[];
  readonly parts: readonly string[];
  readonly next: { readonly words: string; readonly href: string | null };
  readonly booking: string | null;
  /** Where an estimate is made of it; null where nothing is open or nothing may be recorded. */
  readonly estimate: FormModel | null;
  readonly estimates: readonly {
    readonly href: string;
    readonly name: string;
    readonly words: string;
  }[];
  /** Looks that can be taken back whole, the newest first. */
  readonly takeBack: readonly { readonly action: string; readonly words: string }[];
  readonly cautions: readonly string[];
}

export interface WorkView {
  readonly records: boolean;
  /** Whether whoever looks may give the car to another owner. */
  readonly gives: boolean;
  /** A private owner looks, who decides by herself. */
  readonly alone: boolean;
  readonly once: string;
  readonly done: string | undefined;
  readonly sent: Sent | null;
}

const DONE = ['plan', 'taken-back', 'accepted', 'declined', 'done', 'advised'];

/** All work that is open on a car, in its order, with what may become of each piece. */
export function workSheet(facts: WorkFacts, view: WorkView, voice: Voice): [Frame, OpenWorkModel] {
  const { say, tell } = voice;
  const { car, erased, top, plan, findings, next, estimates } = facts;
  const own = `/cars/${car.id}/work`;
  const cured = new Set(plan.steps.map(({ fault }) => fault));
  const { once, sent, records, gives, alone, done = '' } = view;
  const agrees = records && !alone && !erased;
  const pieces = (some: readonly FindingFacts[]) =>
    some.map((one) => pieceModel(own, one, alone, voice));
  const model: OpenWorkModel = {
    ...shopStay(car.registration, top?.mayMove, voice),
    registration: car.registration,
    carHref: `/cars/${car.id}`,
    talkHref: `/cars/${car.id}/fault-finding`,
    nobody: nobodyLeft({ erased, carId: car.id, gives }, voice),
    done: DONE.includes(done) ? say(`work.done.${done}`) : '',
    form: formOf(own, once, sent, []),
    records,
    steps: plan.steps.map((step, i) => ({
      number: i + 1,
      ...workWords(step, voice),
      read: facts.read
        .filter(({ fault }) => fault === step.fault)
        .map(({ pivot, on }) =>
          say('work.read', { joint: jointWords(voice, pivot), day: voice.day(on) }),
        ),
      pieces: pieces(findings.filter(({ fault }) => fault === step.fault)),
    })),
    others: pieces(findings.filter(({ fault }) => fault === null || !cured.has(fault))),
    sum: planSum(plan, voice),
    // A private owner keeps no list of parts to order.
    parts: alone
      ? facts.parts.map(({ label, quantity }) => `${quantity} × ${tell(label)}`)
      : facts.parts.map((part) => partLine(part, voice)),
    next:
      next === null
        ? { words: say('work.next.none'), href: null }
        : {
            words: nextWords(next, voice),
            href: records ? `/visits/${next.id}` : null,
          },
    booking:
      agrees && top !== null && plan.steps.length > 0 && next?.kind !== 'repair'
        ? `/tops/${top.id}/booking?kind=repair`
        : null,
    estimate:
      agrees && (plan.steps.length > 0 || findings.length > 0)
        ? formOf(`/cars/${car.id}/estimates`, once, null, [])
        : null,
    estimates: estimates.map(({ id, number, words }) => ({
      href: `/estimates/${id}`,
      name: say('work.estimate', { number: String(number) }),
      words,
    })),
    takeBack: records ? takeBackModels(own, findings, voice) : [],
    cautions: plan.steps.length === 0 ? [] : cautionLines(voice, plan),
  };
  return [{ lang: voice.language, title: say('work.title'), nav: { here: 'faults' } }, model];
}

function nextWords({ kind, on, minutes }: NonNullable<WorkFacts['next']>, voice: Voice): string {
  const { say, has, tell } = voice;
  const figures = {
    kind: has(`visit-kind.${kind}`) ? say(`visit-kind.${kind}`) : tell(kind),
    day: on === null ? say('work.next.no-day') : voice.day(on),
  };
  return minutes === null
    ? say('work.next', figures)
    : say('work.next.minutes', { ...figures, minutes: String(minutes) });
}

function pieceModel(
  own: string,
  { id, visitId, pivot, text, accepted, on }: FindingFacts,
  alone: boolean,
  voice: Voice,
): PieceModel {
  const { say, tell } = voice;
  const who = alone ? 'alone' : 'owner';
  const outcome = (value: string) => ({ value, words: say(`work.outcome.${value}.${who}`) });
  return {
    where: pivot === null ? '' : jointWords(voice, pivot),
    text: sentence(tell(text)),
    said: say(accepted ? `work.said.accepted.${who}` : 'work.said.advised', {
      day: voice.day(on),
    }),
    action: `${own}/${id}`,
    visitId,
    outcomes: [
      { value: 'done', words: say('work.outcome.done') },
      outcome(accepted ? 'advised' : 'accepted'),
      outcome('declined'),
    ],
  };
}

function partLine(
  { label, quantity, agreed, inHand, onOrder }: WorkFacts['parts'][number],
  { say, tell }: Voice,
): string {
  const figures = { n: String(inHand), ordered: String(onOrder) };
  return say(agreed === 0 ? 'work.part.not-agreed' : 'work.part.listed', {
    part: `${quantity} × ${tell(label)}`,
    have: say(onOrder === 0 ? 'work.part.in-hand' : 'work.part.on-order', figures),
  });
}

function takeBackModels(
  own: string,
  findings: readonly FindingFacts[],
  voice: Voice,
): OpenWorkModel['takeBack'] {
  const visits = new Map(findings.map(({ visitId, on }) => [visitId, on]));
  return [...visits].toReversed().map(([visitId, on]) => ({
    action: `${own}/${visitId}/take-back`,
    words: voice.count('work.look', findings.filter((one) => one.visitId === visitId).length, {
      day: voice.day(on),
    }),
  }));
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'open-work': OpenWorkModel;
  }
}
