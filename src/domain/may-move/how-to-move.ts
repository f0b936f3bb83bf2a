import type { MoveHow, MoveReason } from './move-verdict.ts';

/** Its motor is of no use, or must not run: only the handbook's way by hand is left. */
export const BY_HAND_ALONE: ReadonlySet<string> = new Set([
  'fluid-leaking',
  'power-supply-cut',
  'pump-motor-dead',
  'position-switch-out',
  'lid-not-releasing',
]);
const MAY_SINK: ReadonlySet<string> = new Set(['fluid-leaking', 'ram-weak', 'hydraulics-slow']);
const PUMPS_DRY: ReadonlySet<string> = new Set(['bypass-open', 'hydraulics-slow', 'ram-weak']);
const LOOSE_GLASS: ReadonlySet<string> = new Set(['window-frame-rusted']);
const COLD_ALONE: ReadonlySet<string> = new Set(['vinyl-hard', 'plastic-window-aged']);

/**
 * How to move it (common practice, no source): what is brittle first made warm, and otherwise slowly, a
 * second person at the header, the hand on the switch of a powered top, and a stop at resistance; a
 * pump that moves nothing is not run on, and what it holds half way is held up by nobody; a pane that may come out of its frame is steadied. Where the motor is of no use or must not run, the emergency
 * procedure of the handbook takes the place of the switch; what may sink by itself is not left half way.
 * Of a top that is folded by hand nothing is said that only a motor has.
 */
export function howToMove(reasons: readonly MoveReason[], powered: boolean): MoveHow[] {
  const someOf = (faults: ReadonlySet<string>) =>
    reasons.some(({ fault }) => faults.has(fault ?? ''));
  const byHand = powered && someOf(BY_HAND_ALONE);
  const alone = reasons.every(({ fault }) => COLD_ALONE.has(fault ?? ''));
  return [
    ...(someOf(COLD_ALONE) ? (['warm'] as const) : []),
    ...(byHand ? (['emergency'] as const) : []),
    'slowly',
    ...(alone ? [] : (['second-person'] as const)),
    ...(someOf(LOOSE_GLASS) ? (['window'] as const) : []),
    ...(powered && !byHand ? (['switch'] as const) : []),
    ...(powered && someOf(PUMPS_DRY) && !byHand ? (['no-pumping'] as const) : []),
    ...(someOf(MAY_SINK) ? (['sinks'] as const) : []),
    powered ? 'stop-powered' : 'stop',
  ];
}
