import { voiceFor } from '../../../views/words/voice.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import { sentence } from '../frame/finding-words.ts';
import { localeOf } from '../../../views/words/locale.ts';
import { saidOf } from '../../../domain/faults/fault-rows.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { hoursWords, partWords, type PlanFacts, planSum, type StepFacts } from './talk-sheet.ts';

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
  readonly top: { readonly id: string; readonly mayMove: MayMove } | null;
  readonly plan: PlanFacts & {
    readonly steps: readonly StepFacts[];
    readonly first: { readonly en: string };
    readonly cautions: readonly {
      readonly hazard: { readonly en: string };
      readonly show: { readonly en: string };
    }[];
  };
  readonly findings: readonly FindingFacts[];
  readonly read: readonly { readonly fault: string; readonly pivot: string; readonly on: Day }[];
  readonly parts: readonly {
    readonly label: string;
    readonly quantity: number;
    readonly agreed: number;
    readonly inHand: number;
    readonly onOrder: number;
  }[];
  readonly next: {
    readonly id: string;
    readonly kind: string;
    readonly on: Day | null;
    readonly minutes: number | null;
  } | null;
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
  readonly done: string;
  readonly form: FormModel;
  readonly records: boolean;
  readonly steps: readonly {
    readonly number: number;
    readonly name: string;
    readonly hours: string;
    readonly work: string;
    readonly said: string;
    readonly mustNot: string;
    readonly also: string;
    readonly parts: string;
    /** What readings say, which a repair ends and no press here. */
    readonly read: readonly string[];
    readonly pieces: readonly PieceModel[];
  }[];
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

export interface WorkLooking {
  readonly records: boolean;
  /** A private owner looks, who decides by herself. */
  readonly alone: boolean;
  readonly once: string;
  readonly done: string | undefined;
  readonly sent: Sent | null;
}

const EN = localeOf('en-GB');

const DONE: Readonly<Record<string, string>> = {
  plan: 'The work is with the car.',
  'taken-back': 'Taken back, with all its faults.',
  accepted: 'Noted: it is agreed.',
  declined: 'Noted: it is declined.',
  done: 'Noted: it is done.',
  advised: 'Noted: it is only advised.',
};

/** All work that is open on a car, in its order, with what may become of each piece. */
export function workSheet(facts: WorkFacts, looking: WorkLooking): [Frame, OpenWorkModel] {
  const { car, top, plan, findings, next, estimates } = facts;
  const own = `/cars/${car.id}/work`;
  const cured = new Set(plan.steps.map(({ fault }) => fault));
  const { once, sent, records, alone, done } = looking;
  const pieces = (some: readonly FindingFacts[]) => some.map((one) => pieceModel(own, one, alone));
  const model: OpenWorkModel = {
    ...shopStay(car.registration, top?.mayMove, voiceFor('en')),
    registration: car.registration,
    carHref: `/cars/${car.id}`,
    talkHref: `/cars/${car.id}/fault-finding`,
    done: DONE[done ?? ''] ?? '',
    form: formOf(own, once, sent, []),
    records,
    steps: plan.steps.map((step, i) => ({
      number: i + 1,
      name: step.name,
      hours: hoursWords(step.hours),
      work: step.work,
      said: saidOf(step.fault),
      mustNot: step.mustNot,
      also: EN.list(step.also.map(({ name }) => name)),
      parts: partWords(step.parts),
      read: facts.read
        .filter(({ fault }) => fault === step.fault)
        .map(({ pivot, on }) => `${pivot}: read so on ${EN.day(on)}; it ends with the repair.`),
      pieces: pieces(findings.filter(({ fault }) => fault === step.fault)),
    })),
    others: pieces(findings.filter(({ fault }) => fault === null || !cured.has(fault))),
    sum: planSum(plan),
    // A private owner keeps no list of parts to order.
    parts: alone
      ? facts.parts.map(({ label, quantity }) => `${quantity} × ${label}`)
      : facts.parts.map(partLine),
    next:
      next === null
        ? { words: 'No visit is booked.', href: null }
        : {
            words: `Next visit: ${next.kind}, ${next.on === null ? 'no day yet' : EN.day(next.on)}${next.minutes === null ? '' : `, ${next.minutes} minutes`}.`,
            href: records ? `/visits/${next.id}` : null,
          },
    booking:
      records && !alone && top !== null && plan.steps.length > 0 && next?.kind !== 'repair'
        ? `/tops/${top.id}/booking?kind=repair`
        : null,
    estimate:
      records && !alone && (plan.steps.length > 0 || findings.length > 0)
        ? formOf(`/cars/${car.id}/estimates`, once, null, [])
        : null,
    estimates: estimates.map(({ id, number, words }) => ({
      href: `/estimates/${id}`,
      name: `Estimate ${number}`,
      words,
    })),
    takeBack: records ? takeBackModels(own, findings) : [],
    cautions:
      plan.steps.length === 0
        ? []
        : [plan.first.en, ...plan.cautions.map(({ hazard, show }) => `${hazard.en}. ${show.en}`)],
  };
  return [{ lang: 'en', title: 'Open work', nav: { here: 'faults' } }, model];
}

function pieceModel(
  own: string,
  { id, visitId, pivot, text, accepted, on }: FindingFacts,
  alone: boolean,
): PieceModel {
  const outcomes = [
    { value: 'done', words: 'Done' },
    ...(accepted
      ? [{ value: 'advised', words: alone ? 'Not decided after all' : 'Not agreed after all' }]
      : [{ value: 'accepted', words: alone ? 'To be done' : 'Owner agrees' }]),
    { value: 'declined', words: alone ? 'Not to be done' : 'Owner declines' },
  ];
  return {
    where: pivot ?? '',
    text: sentence(text),
    said: `${accepted ? (alone ? 'to be done' : 'agreed') : 'advised'}, ${EN.day(on)}`,
    action: `${own}/${id}`,
    visitId,
    outcomes,
  };
}

function partLine({
  label,
  quantity,
  agreed,
  inHand,
  onOrder,
}: WorkFacts['parts'][number]): string {
  const have = `${inHand} in hand${onOrder === 0 ? '' : `, ${onOrder} on order`}`;
  const said =
    agreed === 0 ? 'not on the list yet: the owner has not agreed' : 'on the list of parts';
  return `${quantity} × ${label}: ${said}; ${have}`;
}

function takeBackModels(own: string, findings: readonly FindingFacts[]): OpenWorkModel['takeBack'] {
  const visits = new Map(findings.map(({ visitId, on }) => [visitId, on]));
  return [...visits].toReversed().map(([visitId, on]) => {
    const faults = findings.filter((one) => one.visitId === visitId).length;
    return {
      action: `${own}/${visitId}/take-back`,
      words: `The look of ${EN.day(on)}, with its ${faults === 1 ? 'fault' : `${faults} faults`}`,
    };
  });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'open-work': OpenWorkModel;
  }
}
