import * as fc from 'fast-check';
import type { LogEntry, Position } from '../../../src/domain/folding/position-log.ts';
import { POSITIONS } from '../../../src/domain/folding/position-log.ts';

const START = Date.UTC(2026, 2, 20);
export const instantOf = (minute: number): string =>
  new Date(START + minute * 60_000).toISOString();

/** Two weeks from this, in minutes, over the change of European clocks on 29 March 2026. */
export const TWO_WEEKS = 14 * 1440;

/** Entries of those two weeks on whole hours, so that many fall together; some withdrawn, some damp. */
export const anyLog: fc.Arbitrary<LogEntry[]> = fc.array(
  fc.record({
    position: fc.constantFrom<Position>(...POSITIONS, 'folded', 'raised'),
    at: fc.integer({ min: 0, max: TWO_WEEKS / 60 }).map((hour) => instantOf(hour * 60)),
    damp: fc.boolean(),
    withdrawn: fc.constantFrom(false, false, false, true),
  }),
  { maxLength: 25 },
);

export const folded = (at: string, more: Partial<LogEntry> = {}): LogEntry => ({
  position: 'folded',
  at: new Date(at).toISOString(),
  ...more,
});
export const raised = (at: string, more: Partial<LogEntry> = {}): LogEntry => ({
  ...folded(at, more),
  position: 'raised',
});
export const underHardTop = (at: string): LogEntry => ({
  ...folded(at),
  position: 'folded-under-hard-top',
});
