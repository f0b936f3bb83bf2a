import { invalid, Refused } from '../../domain/refusal.ts';
import type { PageRequest } from '../context/paging.ts';
import { cursorWith, partsOfCursor } from '../context/paging.ts';
import type { PlannedVisitRecord, PlanRecord } from './diary-plan-record.ts';

/** A plan of which some visits are shown, and how many each list has in all. */
export interface PlanPage extends PlanRecord {
  readonly counts: { readonly placed: number; readonly outside: number; readonly unplaced: number };
  /** Hand this in as `after`, to the same plan, for the following visits; null at the end. */
  readonly next: string | null;
}

const LISTS = ['placed', 'outside', 'unplaced'] as const;

/** Refuses to go on through a plan while making its offers: that is done once, with the first page. */
export function requireFirstPage(apply: boolean, after: string | undefined): void {
  if (!apply || after === undefined) return;
  throw invalid('after', 'The offers are made with the first page. Read on with "apply": false.');
}

/**
 * So many visits of a plan, all its lists taken as one: first those in their due windows, then those
 * outside, then those without a week. A plan is drawn anew for each page; where the visit is gone that the
 * page before ended with, the plan has changed and is to be read from its beginning.
 */
export function pageOfPlan(plan: PlanRecord, { limit, after }: PageRequest): PlanPage {
  const rows = LISTS.flatMap((list) => plan[list].map((visit) => ({ list, key: keyOf(visit) })));
  const [key] = partsOfCursor(after, ['word']) ?? [null];
  const start = key === null ? 0 : rows.findIndex((row) => row.key === key) + 1;
  if (key !== null && start === 0) {
    const detail = 'The plan changed since the page before. Read it again from the first page.';
    throw new Refused({ kind: 'conflict', detail });
  }
  const shown = rows.slice(start, start + limit);
  const keys = new Set(shown.map((row) => row.key));
  const last = start + limit < rows.length ? shown.at(-1) : undefined;
  const page = <Visit extends PlannedVisitRecord>(visits: readonly Visit[]) =>
    visits.filter((visit) => keys.has(keyOf(visit)));
  return {
    ...plan,
    counts: {
      placed: plan.placed.length,
      outside: plan.outside.length,
      unplaced: plan.unplaced.length,
    },
    placed: page(plan.placed),
    outside: page(plan.outside),
    unplaced: page(plan.unplaced),
    next: last === undefined ? null : cursorWith([last.key]),
  };
}

function keyOf({ visitId, topId, kind, dueOn }: PlannedVisitRecord): string {
  return visitId ?? `${topId} ${kind} ${dueOn}`;
}
