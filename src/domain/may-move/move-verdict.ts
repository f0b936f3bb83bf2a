import type { Day } from '../calendar/day.ts';

/** From "as always" to "do not touch it": `free` < `with-care` < `leave`. */
export const MOVE_VERDICTS = ['free', 'with-care', 'leave'] as const;
export type MoveVerdict = (typeof MOVE_VERDICTS)[number];

/** What speaks against moving a top: a word about a joint, a measure of the frame, or a finding. */
export const MOVE_SIGNS = [
  'sheared',
  'seized',
  'oval',
  'play',
  'washers',
  'stiff',
  'loose',
  'sway',
  'twist',
  'force',
  'found',
] as const;
export type MoveSign = (typeof MOVE_SIGNS)[number];

/** How a top that may be moved with care is moved, in the order in which it is to be said. */
export const MOVE_HOWS = [
  'warm',
  'emergency',
  'slowly',
  'second-person',
  'window',
  'switch',
  'no-pumping',
  'sinks',
  'stop',
  'stop-powered',
] as const;
export type MoveHow = (typeof MOVE_HOWS)[number];

export interface MoveReason {
  readonly verdict: Exclude<MoveVerdict, 'free'>;
  readonly sign: MoveSign;
  /** Code of the joint; null where the frame as a whole is meant or the finding names none. */
  readonly pivot: string | null;
  /** Id of the fault, for the sign `found`; else null. */
  readonly fault: string | null;
  readonly on: Day;
}

/** Whether a top may be moved, why not, and when that will be mended. */
export interface MayMove {
  readonly verdict: MoveVerdict;
  /** What makes the verdict, the gravest first; empty where it is `free`. */
  readonly reasons: readonly MoveReason[];
  /** How it is moved `with-care`; else empty. */
  readonly how: readonly MoveHow[];
  /** The day for which a repair is booked; null where none is, or its day is past unrecorded. */
  readonly repairOn: Day | null;
  /** It has a motor, of which nobody with a hand-folded top is told. */
  readonly powered: boolean;
}

export const FREE_TO_MOVE: MayMove = {
  verdict: 'free',
  reasons: [],
  how: [],
  repairOn: null,
  powered: false,
};
