import type { Day } from '../calendar/day.ts';
import type { MoveFigures } from './may-move.ts';
import { mayMove } from './may-move.ts';
import type { MoveFacts } from './move-facts.ts';
import type { MoveReason } from './move-verdict.ts';

/**
 * Since when something that makes a top stay now has been known without a break; null where it may be
 * moved. A joint that is read again and still seized stays the same matter; one that was mended makes
 * room for the next that is still open.
 */
export function staysSince(facts: MoveFacts, today: Day, figures: MoveFigures): Day | null {
  const now = leavingOn(facts, today, figures);
  if (now.size === 0) return null;
  let since = today;
  let standing: ReadonlySet<string> = now;
  // From the latest day on which anything was recorded back to the one that first said so.
  for (const day of daysRecorded(facts, today)) {
    const then = leavingOn(facts, day, figures);
    standing = new Set([...standing].filter((one) => then.has(one)));
    if (standing.size === 0) break;
    since = day;
  }
  return since;
}

function leavingOn(facts: MoveFacts, day: Day, figures: MoveFigures): Set<string> {
  const { verdict, reasons } = mayMove(facts, day, figures);
  return new Set(verdict === 'leave' ? reasons.map(matterOf) : []);
}

/** A joint is one matter, whatever word says what ails it; so is the frame as a whole by each measure. */
function matterOf({ pivot, sign, fault }: MoveReason): string {
  return pivot ?? `${sign} ${fault ?? ''}`;
}

/** The days up to one on which anything was found, measured or mended, the latest first. */
function daysRecorded({ pivots, frame, findings, mended = [] }: MoveFacts, today: Day): Day[] {
  const found = pivots.flatMap(({ readings, states, washers }) => [
    ...readings,
    ...states,
    ...washers,
  ]);
  const days = [
    ...[...found, ...frame].map(({ doneOn }) => doneOn),
    ...pivots.flatMap(({ repairs }) => repairs),
    ...[...findings, ...mended].map(({ on }) => on),
  ].filter((day) => day <= today);
  return [...new Set(days)].sort((a, b) => (a < b ? 1 : -1));
}
