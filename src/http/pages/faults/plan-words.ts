import { saidOf } from '../../../domain/faults/fault-rows.ts';
import { forbidden } from '../../../domain/faults/fault.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { jointWords } from '../frame/finding-words.ts';
import type { Sent } from '../frame/form.ts';
import { tick, type TickModel } from '../frame/form.ts';

export interface PartFacts {
  readonly label: string;
  readonly quantity: number;
}

export interface StepFacts {
  readonly fault: string;
  readonly name: string;
  readonly work: string;
  readonly mustNot: string;
  readonly proveFirst: string | null;
  readonly also: readonly { readonly name: string }[];
  readonly byJoint: boolean;
  readonly hours: number;
  readonly parts: readonly PartFacts[];
}

export interface PlanFacts {
  readonly steps: readonly StepFacts[];
  readonly later: readonly { readonly name: string }[];
  readonly strippingHours: number;
  readonly hours: number;
}

/** What a piece of work says of itself. */
export interface WorkWords {
  readonly name: string;
  readonly work: string;
  readonly said: string;
  readonly mustNot: string;
  readonly also: string;
  readonly hours: string;
  readonly parts: string;
}

/** A step of the work as the talk puts it: taken over or not, and at which joints. */
export interface StepModel extends WorkWords {
  readonly number: number;
  readonly proveFirst: string | null;
  readonly take: TickModel;
  readonly joints: readonly TickModel[];
  /** Where they are, as an anchor, and that one has to be said. */
  readonly jointsId: string;
  readonly jointsFault: string;
}

/** The step at this place of the plan, as it was sent where it was. */
export function stepModel(
  step: StepFacts,
  i: number,
  pivots: readonly { readonly code: string }[],
  sent: Sent | null,
  voice: Voice,
): StepModel {
  const { fault, proveFirst, byJoint } = step;
  const { say, tell } = voice;
  return {
    number: i + 1,
    ...workWords(step, voice),
    proveFirst: proveFirst === null ? null : tell(proveFirst),
    take: tick(sent, `take/${fault}`, say('talk.take'), true),
    joints: byJoint
      ? pivots.map(({ code }) => tick(sent, `at/${fault}/${code}`, jointWords(voice, code), false))
      : [],
    jointsId: `at-${fault}`,
    jointsFault: (sent?.faults ?? []).find((one) => one.field === `at/${fault}`)?.words ?? '',
  };
}

/** A piece of work in the words of a voice. */
export function workWords(
  { fault, name, work, mustNot, also, hours, parts }: StepFacts,
  voice: Voice,
): WorkWords {
  const { tell, locale } = voice;
  return {
    name: tell(name),
    work: tell(work),
    said: tell(saidOf(fault)),
    mustNot: tell(forbidden(mustNot)),
    also: locale.list(also.map((one) => tell(one.name))),
    hours: hoursWords(hours, voice),
    parts: locale.list(parts.map((part) => partWords(part, voice))),
  };
}

/** What the work comes to together, and what waits for it. */
export function planSum(
  { hours, strippingHours, steps, later }: PlanFacts,
  voice: Voice,
): string[] {
  const { say, tell, locale } = voice;
  const waits =
    later.length === 0
      ? []
      : [say('work.waits', { faults: locale.list(later.map(({ name }) => tell(name))) })];
  if (steps.length === 0) return waits;
  return [
    say('work.together', { hours: hoursWords(hours, voice) }),
    ...(strippingHours === 0
      ? []
      : [say('work.stripping', { hours: hoursWords(strippingHours, voice) })]),
    ...waits,
  ];
}

/** "2 h 30 min". */
function hoursWords(hours: number, { say }: Voice): string {
  const minutes = Math.round(hours * 60);
  const whole = Math.floor(minutes / 60);
  const rest = minutes % 60;
  return [
    ...(whole > 0 ? [say('work.hours', { n: String(whole) })] : []),
    ...(rest > 0 || whole === 0 ? [say('work.minutes', { n: String(rest) })] : []),
  ].join(' ');
}

/** "2 × spacer washers", one of a thing by its name alone. */
function partWords({ label, quantity }: PartFacts, { tell }: Voice): string {
  return quantity === 1 ? tell(label) : `${quantity} × ${tell(label)}`;
}
