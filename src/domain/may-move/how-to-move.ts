import type { MoveHow, MoveReason } from './move-verdict.ts';

const COLD_ALONE: ReadonlySet<string> = new Set(['vinyl-hard', 'plastic-window-aged']);
const HYDRAULIC: ReadonlySet<string> = new Set(['hydraulics-slow', 'bypass-open']);

/**
 * How to move it (common practice, no source): what is brittle first made warm, and otherwise slowly, a
 * second person at the header, the hand on the switch of a powered top, and a stop at resistance; a
 * weak pump is not run on and on.
 */
export function howToMove(reasons: readonly MoveReason[], powered: boolean): MoveHow[] {
  const brittle = reasons.some(({ fault }) => COLD_ALONE.has(fault ?? ''));
  const hydraulic = reasons.some(({ fault }) => HYDRAULIC.has(fault ?? ''));
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
