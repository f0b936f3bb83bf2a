import type { Day } from '../calendar/day.ts';
import type { FrameReading } from '../frame/frame-readings.ts';
import type { PivotRecord, StateFound } from '../pivots/series.ts';

/** A joint with the word of each look at it; one that came with an oiling says so. */
export interface MovePivot extends Omit<PivotRecord, 'states'> {
  readonly states: readonly (StateFound & { readonly onOiling?: boolean | undefined })[];
}

/** A fault found on a visit that nobody has said to be mended there and then. */
export interface OpenFinding {
  /** Id of the fault in the trade's list; null where none of it fitted. */
  readonly fault: string | null;
  /** Code of the pivot that it was found at, or null. */
  readonly pivot: string | null;
  readonly on: Day;
  /** The visit that it was found on, where it is known. */
  readonly visit?: string | undefined;
}

/**
 * Work that was done: one fault said to be mended, or, with no fault named, a repair visit recorded
 * without a word about single joints, which is taken to have mended all that was open before it.
 */
export interface Mended extends OpenFinding {}

/** All that decides whether a top may be moved. */
export interface MoveFacts {
  readonly fittedOn: Day;
  readonly powered?: boolean | undefined;
  /** The pivots that the frame has now, those at least that were ever read. */
  readonly pivots: readonly MovePivot[];
  /** What was measured at the frame as a whole, since the top was fitted. */
  readonly frame: readonly FrameReading[];
  readonly findings: readonly OpenFinding[];
  readonly mended?: readonly Mended[] | undefined;
  /** Days of repair visits that are booked and not said to be over. */
  readonly repairsBookedOn: readonly Day[];
}
