import type { Day } from '../calendar/day.ts';

/** What was found at one joint, look by look. */
export interface JointFound {
  readonly washersExpected: number;
  readonly states: readonly { readonly doneOn: Day; readonly state: string }[];
  readonly washers: readonly { readonly doneOn: Day; readonly present: number }[];
  /** Days on which it was repaired: what was found on such a day is mended. */
  readonly repairs: readonly Day[];
}

/**
 * Since when oil can have been asked for, where that is later than the due day: the visit that found the
 * stiff joint or the missing washer that shortens the interval, so that the due day lies before it. Null
 * where the due day could be known when it came.
 */
export function askedSince(
  joints: readonly JointFound[],
  { fittedOn, dueOn }: { readonly fittedOn: Day; readonly dueOn: Day },
): Day | null {
  const since = joints
    .map((joint) => faultySince(joint, fittedOn))
    .reduce<Day | null>((a, b) => (a === null || (b !== null && b < a) ? b : a), null);
  return since !== null && since > dueOn ? since : null;
}

/** The first look of those that found it faulty without a break up to the last one. */
function faultySince(
  { washersExpected, states, washers, repairs }: JointFound,
  fittedOn: Day,
): Day | null {
  const short = new Set(
    washers.filter(({ present }) => present < washersExpected).map(({ doneOn }) => doneOn),
  );
  let since: Day | null = null;
  for (const { doneOn, state } of states.toSorted((a, b) => (a.doneOn < b.doneOn ? -1 : 1))) {
    if (doneOn < fittedOn) continue;
    const faulty = (state === 'stiff' || short.has(doneOn)) && !repairs.includes(doneOn);
    since = faulty ? (since ?? doneOn) : null;
  }
  return since;
}
