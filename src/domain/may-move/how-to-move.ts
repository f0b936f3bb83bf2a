import type { MoveHow, MoveReason } from './move-verdict.ts';

const COLD_ALONE: ReadonlySet<string> = new Set(['vinyl-hard', 'plastic-window-aged']);

/**
 * How to move it (common practice, no source): what is brittle first made warm, and otherwise slowly, a
 * second person at the header, the hand on the switch of a powered top, and a stop at resistance; a
 * pump that moves nothing is not run on.
 */
export function howToMove(reasons: readonly MoveReason[], powered: boolean): MoveHow[] {
  const brittle = reasons.some(({ fault }) => COLD_ALONE.has(fault ?? ''));
  const hydraulic = reasons.some(({ fault }) => fault === 'bypass-open');
  const alone = reasons.every(({ fault }) => COLD_ALONE.has(fault ?? ''));
  return [
    ...(brittle ? (['warm'] as const) : []),
    'slowly',
    ...(alone ? [] : (['second-person'] as const)),
    ...(powered ? (['switch'] as const) : []),
    ...(hydraulic ? (['no-pumping'] as const) : []),
    'stop',
  ];
}
