import { MOST_WEEKS, placeEqual } from './exact.ts';
import type { VisitClass } from './exact.ts';
import { equalPlaces, jamsOf } from './hall.ts';
import type { Jam, JamUnit } from './hall.ts';
import { BenchInputError, readHorizon } from './horizon.ts';
import type { BenchVisit, BenchWeek, Horizon, VisitId, WeekId } from './horizon.ts';
import { placeMixed } from './mixed.ts';
import type { MixedPlan } from './mixed.ts';

/** Why a visit has no week: no bench left from its window on, or a window behind the last week. */
export type UnplacedReason = 'no-room' | 'after-horizon';

/** A plan of the bench. Every visit stands in exactly one of the three lists, in input order. */
export interface BenchPlan {
  /** Visits in a week of their window. */
  readonly placed: readonly { readonly id: VisitId; readonly week: WeekId }[];
  /** Visits behind their window (a booked one may lie ahead of it: then the lateness is below 0). */
  readonly outside: readonly {
    readonly id: VisitId;
    readonly week: WeekId;
    readonly latenessWeeks: number;
  }[];
  readonly unplaced: readonly { readonly id: VisitId; readonly reason: UnplacedReason }[];
  /** Every run of weeks that breaks Hall's condition, see `jams`; counted in `jamUnit`. */
  readonly jams: readonly Jam[];
  readonly jamUnit: JamUnit;
  /** Weeks with more places booked than they have. */
  readonly overbooked: readonly {
    readonly week: WeekId;
    readonly booked: number;
    readonly capacity: number;
  }[];
  /** Visits in their windows: how many, and how many no plan can exceed. Equal: proven best. */
  readonly gap: { readonly bound: number; readonly placed: number };
}

/**
 * Plans visits into weeks. Goals in strict order: most visits in their windows; of the others as
 * many as there is room for, with the fewest weeks late in all; fewest changed offers. Booked
 * visits stay where they are and take their room first; nothing is placed ahead of its window. A
 * window that begins before the first week is clipped to it; one that lies wholly before is late
 * from the first week on.
 *
 * Where all visits to be placed take equal places the plan is the exact optimum in all three goals.
 * With mixed lengths it is so for small plans only, and `gap` says how far the first goal may be
 * from the best. Throws `BenchInputError`, also for more than 520 weeks.
 */
export function planBench(input: {
  readonly weeks: readonly BenchWeek[];
  readonly visits: readonly BenchVisit[];
}): BenchPlan {
  if (input.weeks.length > MOST_WEEKS) {
    throw new BenchInputError('weeks', `Give at most ${MOST_WEEKS} weeks`);
  }
  const horizon = readHorizon(input.weeks, input.visits);
  const size = equalPlaces(horizon);
  const plan: MixedPlan | { at: readonly number[]; bound?: never } =
    size === undefined ? placeMixed(horizon.room, horizon.open) : { at: equal(horizon, size) };
  const { jams, unit } = jamsOf(horizon);
  const lists = listed(input.visits, horizon, plan.at);
  const booked = horizon.fixed.filter((visit) => visit.inWindow).length;
  const overbooked = horizon.weeks.flatMap((week, w) => {
    const taken = horizon.booked[w] ?? 0;
    const capacity = horizon.capacity[w] ?? 0;
    return taken > capacity ? [{ week, booked: taken, capacity }] : [];
  });
  const placed = lists.placed.length;
  const gap = { bound: plan.bound === undefined ? placed : plan.bound + booked, placed };
  return { ...lists, jams, jamUnit: unit, overbooked, gap };
}

/** The position of each open visit, `weeks.length` for nowhere. */
function equal(horizon: Horizon, size: number): number[] {
  const classes = new Map<string, VisitClass & { members: number[] }>();
  const at = horizon.open.map(() => horizon.weeks.length);
  for (const [v, visit] of horizon.open.entries()) {
    const { earliest, latest, offered, wasOffered } = visit;
    const key = `${earliest} ${latest} ${wasOffered ? offered : ''}`;
    const members = classes.get(key)?.members ?? [];
    members.push(v);
    classes.set(key, { earliest, latest, offered, wasOffered, count: members.length, members });
  }
  const room = horizon.room.map((places) => Math.floor(places / size));
  const list = [...classes.values()];
  const held = placeEqual(room, list);
  const stride = room.length + 1;
  for (const [k, { members }] of list.entries()) {
    let next = 0;
    for (let week = 0; week < stride; week += 1) {
      for (let i = held[k * stride + week] ?? 0; i > 0; i -= 1) {
        at[members[next] ?? -1] = week;
        next += 1;
      }
    }
  }
  return at;
}

function listed(
  visits: readonly BenchVisit[],
  horizon: Horizon,
  at: readonly number[],
): Pick<BenchPlan, 'placed' | 'outside' | 'unplaced'> {
  const placed: { id: VisitId; week: WeekId }[] = [];
  const outside: { id: VisitId; week: WeekId; latenessWeeks: number }[] = [];
  const unplaced: { id: VisitId; reason: UnplacedReason }[] = [];
  let nextOpen = 0;
  let nextFixed = 0;
  for (const { fixed } of visits) {
    if (fixed !== undefined) {
      const visit = horizon.fixed[nextFixed];
      nextFixed += 1;
      if (!visit) continue;
      const { id, week, latenessWeeks } = visit;
      if (visit.inWindow) placed.push({ id, week });
      else outside.push({ id, week, latenessWeeks });
      continue;
    }
    const visit = horizon.open[nextOpen];
    const position = at[nextOpen] ?? horizon.weeks.length;
    nextOpen += 1;
    if (!visit) continue;
    const { id } = visit;
    const week = horizon.weeks[position];
    if (week === undefined) {
      const beyond = visit.earliest >= horizon.weeks.length;
      unplaced.push({ id, reason: beyond ? 'after-horizon' : 'no-room' });
    } else if (position <= visit.latest) placed.push({ id, week });
    else outside.push({ id, week, latenessWeeks: position - visit.latest });
  }
  return { placed, outside, unplaced };
}
