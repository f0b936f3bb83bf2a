import * as fc from 'fast-check';
import type { BenchVisit, BenchWeek } from '../../../src/domain/bench/horizon.ts';
import type { BenchPlan } from '../../../src/domain/bench/plan.ts';

/** An instance with weeks numbered from 1, as the property tests draw it. */
export interface Instance {
  readonly weeks: BenchWeek[];
  readonly visits: (BenchVisit & { earliest: number; latest: number; offered?: number })[];
}

/** The goals as counts, worst first: not in the window, nowhere at all, weeks late, changed offers. */
export type Score = readonly [number, number, number, number];

export function worse(a: Score, b: Score): boolean {
  const i = a.findIndex((value, n) => value !== b[n]);
  return i >= 0 && (a[i] ?? 0) > (b[i] ?? 0);
}

export function scoreOf(plan: BenchPlan, visits: readonly BenchVisit[]): Score {
  const late = plan.outside.reduce((sum, visit) => sum + visit.latenessWeeks, 0);
  const at = new Map([...plan.placed, ...plan.outside].map(({ id, week }) => [id, week]));
  const changed = visits.filter(
    (visit) => visit.offered !== undefined && at.get(visit.id) !== visit.offered,
  );
  const out = plan.outside.length + plan.unplaced.length;
  return [out, plan.unplaced.length, late, changed.length];
}

/** Every assignment of every visit to every week or none: the best score there is. */
export function bestByBruteForce({ weeks, visits }: Instance): Score {
  const room = weeks.map((week) => week.capacity);
  for (const { fixed, places } of visits) {
    if (fixed !== undefined) room[Number(fixed) - 1] = (room[Number(fixed) - 1] ?? 0) - places;
  }
  const open = visits.filter((visit) => visit.fixed === undefined);
  let best: Score = [Infinity, 0, 0, 0];
  const descend = (depth: number, score: Score): void => {
    const visit = open[depth];
    if (!visit) {
      if (worse(best, score)) best = score;
      return;
    }
    const [out, nowhere, late, changed] = score;
    const offered = visit.offered;
    descend(depth + 1, [out + 1, nowhere + 1, late, changed + (offered === undefined ? 0 : 1)]);
    for (let week = visit.earliest; week <= weeks.length; week += 1) {
      if ((room[week - 1] ?? 0) < visit.places) continue;
      room[week - 1] = (room[week - 1] ?? 0) - visit.places;
      const weeksLate = Math.max(0, week - visit.latest);
      const moved = offered === undefined || offered === week ? 0 : 1;
      descend(depth + 1, [out + Math.sign(weeksLate), nowhere, late + weeksLate, changed + moved]);
      room[week - 1] = (room[week - 1] ?? 0) + visit.places;
    }
  };
  descend(0, [0, 0, 0, 0]);
  return best;
}

/** Earliest due first, week by week; a visit without room in its window goes into the next week. */
export function earliestDueFirst({ weeks, visits }: Instance): Map<string | number, number> {
  const at = new Map<string | number, number>();
  const horizon = weeks.length + visits.length;
  for (let week = 1; week <= horizon; week += 1) {
    let room = weeks[week - 1]?.capacity ?? 1;
    const waiting = visits
      .filter((visit) => visit.earliest <= week && !at.has(visit.id))
      .sort((a, b) => a.latest - b.latest);
    for (const visit of waiting) {
      if (room < visit.places) break;
      room -= visit.places;
      at.set(visit.id, week);
    }
  }
  return at;
}

/** Up to `most` visits of equal or mixed lengths in up to four weeks, some of them offered. */
export function instances(most: number, lengths: readonly number[]): fc.Arbitrary<Instance> {
  return fc.integer({ min: 1, max: 4 }).chain((count) => {
    const week = fc.integer({ min: 1, max: count });
    const visit = fc.record({
      window: fc.tuple(week, week),
      places: fc.constantFrom(...lengths),
      offered: fc.option(week, { nil: undefined }),
    });
    return fc.record({
      weeks: fc
        .array(fc.integer({ min: 0, max: 3 * Math.max(...lengths) }), {
          minLength: count,
          maxLength: count,
        })
        .map((capacities) => capacities.map((capacity, i) => ({ id: i + 1, capacity }))),
      visits: fc.array(visit, { maxLength: most }).map((drawn) =>
        drawn.map(({ window: [a, b], places, offered }, i) => ({
          id: `v${i}`,
          places,
          earliest: Math.min(a, b),
          latest: Math.max(a, b),
          ...(offered === undefined ? {} : { offered }),
        })),
      ),
    });
  });
}

/** Hall's condition counted anew for every pair of weeks, as it is written. */
export function jamsByCounting(
  weeks: readonly { id: number; capacity: number }[],
  visits: readonly { earliest: number; latest: number }[],
) {
  return weeks.flatMap(({ id: from }) =>
    weeks
      .filter(({ id }) => id >= from)
      .map(({ id: to }) => ({
        from,
        to,
        need: visits.filter((visit) => visit.earliest >= from && visit.latest <= to).length,
        room: weeks.slice(from - 1, to).reduce((sum, week) => sum + week.capacity, 0),
      }))
      .filter(({ need, room }) => need > room),
  );
}
