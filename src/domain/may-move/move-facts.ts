import type { Day } from '../calendar/day.ts';
import type { FrameReading } from '../frame/frame-readings.ts';
import type { PivotRecord } from '../pivots/series.ts';

/** A fault found on a visit that nobody has said to be mended. */
export interface OpenFinding {
  /** Id of the fault in the trade's list; null where none of it fitted. */
  readonly fault: string | null;
  /** Code of the pivot that it was found at, or null. */
  readonly pivot: string | null;
  readonly on: Day;
}

/** All that decides whether a top may be moved. */
export interface MoveFacts {
  readonly fittedOn: Day;
  /** The pivots that the frame has now. */
  readonly pivots: readonly PivotRecord[];
  /** What was measured at the frame as a whole, since the top was fitted. */
  readonly frame: readonly FrameReading[];
  readonly findings: readonly OpenFinding[];
  /** Days of repair visits that are booked and not said to be over. */
  readonly repairsBookedOn: readonly Day[];
}
