/** From "leave it alone" to "stop using it": `good` < `watch` < `plan` < `act`. */
export const VERDICTS = ['good', 'watch', 'plan', 'act'] as const;
export type Verdict = (typeof VERDICTS)[number];

/** What a hand finds at a pivot, from best to worst as the trade usually says it. */
export const PIVOT_STATES = ['free', 'dry', 'stiff', 'loose', 'oval', 'seized', 'sheared'] as const;
export type PivotState = (typeof PIVOT_STATES)[number];

/** Verdict on each state word. The words are the trade's; the steps between them a shop rule. */
export const STATE_VERDICTS: Readonly<Record<PivotState, Verdict>> = {
  free: 'good',
  dry: 'watch',
  stiff: 'plan',
  loose: 'plan',
  oval: 'act',
  seized: 'act',
  sheared: 'act',
};

/** A joint found so ruins the frame when it is moved: common practice, no source. */
export const RUINED_STATES: ReadonlySet<PivotState> = new Set(['oval', 'seized', 'sheared']);

/**
 * What each state word asks for, as a page or a letter's author may say it. Said of the joint and not
 * to the reader: another joint of the same frame may forbid to touch it.
 */
export const STATE_WORK: Readonly<Record<PivotState, string>> = {
  free: 'oil at its next visit',
  dry: 'it wants oil',
  stiff: 'free it now and look again some weeks later',
  loose: 'renew its washers',
  oval: 'the hole wants reaming and a bush, on the bench',
  seized: 'leave the top as it is until the pin has been drilled out',
  sheared: 'leave the top as it is until a repair set is in',
};

/** Whether `verdict` is `limit` or worse. */
export function atLeast(verdict: Verdict, limit: Verdict): boolean {
  return VERDICTS.indexOf(verdict) >= VERDICTS.indexOf(limit);
}

/** The worst of the verdicts; `good` where there are none. */
export function worstOf(...verdicts: readonly Verdict[]): Verdict {
  return verdicts.reduce((worst, verdict) => (atLeast(verdict, worst) ? verdict : worst), 'good');
}

/**
 * The verdict on a reading that gets worse as it grows: `good` up to and including `watchOver`,
 * then `watch`, `plan` and `act` above each limit in turn.
 */
export function verdictOver(
  value: number,
  watchOver: number,
  planOver: number,
  actOver: number,
): Verdict {
  if (value > actOver) return 'act';
  if (value > planOver) return 'plan';
  return value > watchOver ? 'watch' : 'good';
}
