import type { OrganisationKind } from '../../../domain/organisation-kind.ts';
import type { CarPageRecord } from '../../../usecases/day/car-page.ts';
import type { EstimateRecord } from '../../../usecases/estimates/estimate-records.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { type CallFormModel, callForm, outcomeInWords } from '../shop/call-form.ts';
import { type PositionModel, positionForm } from './position-form.ts';

/** Who looks at the page, what led to it, and a form of it that came back. */
export interface CarView {
  /** Whether whoever looks may record something. */
  readonly records: boolean;
  /** Whether whoever looks may give the car to another owner. */
  readonly gives: boolean;
  /** A private owner rings nobody and books no visit with himself. */
  readonly kind: OrganisationKind;
  readonly done: string | undefined;
  readonly once: string;
  readonly came: { readonly form: 'position' | 'call'; readonly sent: Sent } | null;
}

/** What can be recorded about a car, and where. */
export interface CarActs {
  readonly oiling: string | null;
  readonly booking: string | null;
  readonly owner: string | null;
  readonly faults: string;
  readonly work: string;
  readonly change: string;
  readonly recover: string;
  readonly recoverWords: string;
  readonly top: PositionModel;
  readonly call: CallFormModel | null;
}

export function carActs(
  record: CarPageRecord,
  { once, came, kind }: CarView,
  voice: Voice,
): CarActs {
  const { car, tops, erased } = record;
  const top = tops.find((one) => one.top.retiredOn === null)?.top;
  const sentTo = (form: 'position' | 'call') => (came?.form === form ? came.sent : null);
  return {
    oiling: top === undefined ? null : `/tops/${top.id}/visit`,
    booking: top === undefined || erased || kind === 'private' ? null : `/tops/${top.id}/booking`,
    owner: erased ? null : `/owners/${car.ownerId}`,
    faults: `/cars/${car.id}/fault-finding`,
    work: `/cars/${car.id}/work`,
    change: `/cars/${car.id}/change`,
    recover: `/cars/${car.id}/top`,
    recoverWords: voice.say(top === undefined ? 'car.recover.first' : 'car.recover'),
    top: positionForm(record, { stay: mustStay(record), once, sent: sentTo('position') }, voice),
    call:
      erased || kind === 'private' ? null : callForm(car.id, 'car', once, sentTo('call'), voice),
  };
}

/** Whether the top on the car must not be moved. */
export function mustStay({ tops }: CarPageRecord): boolean {
  return tops[0]?.top.mayMove.verdict === 'leave';
}

export interface CallLine {
  readonly words: string;
  /** Where it is put right or taken back; null for whoever may only read. */
  readonly href: string | null;
}

/** The latest calls, the newest first. */
export function callLines(
  { calls }: CarPageRecord,
  { records }: CarView,
  voice: Voice,
): CallLine[] {
  return calls.map(({ id, on, outcome, notes }) => {
    const fills = { day: voice.day(on), outcome: outcomeInWords(voice, outcome) };
    return {
      words:
        notes === null
          ? voice.say('car.calls.line', fills)
          : voice.say('car.calls.line.notes', { ...fills, notes }),
      href: records ? `/calls/${id}` : null,
    };
  });
}

export interface EstimateLine {
  readonly href: string;
  readonly words: string;
  /** What was declined of it; empty where nothing was. */
  readonly declined: string;
}

/** The estimates of a car, the newest first, with what was declined. */
export function estimateLines(estimates: readonly EstimateRecord[], voice: Voice): EstimateLine[] {
  return estimates.map(({ id, number, madeOn, state, lines }) => {
    const declined = lines.filter(({ kind, answer }) => kind === 'work' && answer === 'declined');
    return {
      href: `/estimates/${id}`,
      words: voice.say('car.estimates.line', {
        number: String(number),
        day: voice.day(madeOn),
        state: voice.say(`estimate-state.${state}`),
      }),
      declined:
        declined.length === 0
          ? ''
          : voice.say('car.estimates.declined', {
              work: declined.map(({ text }) => text).join('; '),
            }),
    };
  });
}
