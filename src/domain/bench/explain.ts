import { jamSentence, worstJams } from './hall.ts';
import type { WeekId } from './horizon.ts';
import type { BenchPlan } from './plan.ts';

/** A plan in words, one fact a line: how many fit, who is late, who has no week, what is jammed. */
export function explainPlan(plan: BenchPlan, weeks: readonly WeekId[]): string[] {
  const { placed, outside, unplaced, gap } = plan;
  const total = placed.length + outside.length + unplaced.length;
  const proven = gap.bound === gap.placed ? 'no plan has more' : `no plan has over ${gap.bound}`;
  const late = outside.reduce((sum, visit) => sum + Math.max(0, visit.latenessWeeks), 0);
  const lines = [`${placed.length} of ${counted(total)} in their windows; ${proven}.`];
  if (outside.length > 0) {
    const weeksLate = late === 1 ? '1 week' : `${late} weeks`;
    lines.push(`${counted(outside.length)} outside their windows, ${weeksLate} late in all.`);
  }
  const noRoom = unplaced.filter(({ reason }) => reason === 'no-room');
  if (noRoom.length > 0) {
    lines.push(`No room from their windows on: ${noRoom.map(({ id }) => id).join(', ')}.`);
  }
  const beyond = unplaced.filter(({ reason }) => reason === 'after-horizon');
  if (beyond.length > 0) {
    lines.push(`Due behind the last week: ${beyond.map(({ id }) => id).join(', ')}.`);
  }
  for (const jam of worstJams(plan.jams, weeks)) lines.push(`${jamSentence(jam, plan.jamUnit)}.`);
  for (const { week, booked, capacity } of plan.overbooked) {
    lines.push(`Week ${week}: ${booked} half hours are booked, there are ${capacity}.`);
  }
  return lines;
}

function counted(visits: number): string {
  return visits === 1 ? '1 visit' : `${visits} visits`;
}
