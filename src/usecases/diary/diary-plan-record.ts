import type { VisitKind } from '../../domain/bench/minutes.ts';
import { weeksInWords } from '../../domain/bench/hall.ts';
import type { BenchPlan, UnplacedReason } from '../../domain/bench/plan.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { CalendarWeek, DiaryCalendar } from '../bench/diary-calendar.ts';
import { calendarInWords } from '../bench/diary-calendar.ts';
import type { JamRecord } from '../bench/diary-jams.ts';
import { jamRecords } from '../bench/diary-jams.ts';
import type { Choice } from './diary-offers.ts';
import type { DiaryVisit } from '../bench/diary-visits.ts';

/** A visit of the plan. */
export interface PlannedVisitRecord {
  readonly standing: 'booked' | 'expected';
  readonly visitId: string | null;
  readonly topId: string;
  readonly carId: string;
  readonly ownerId: string;
  readonly ownerName: string;
  readonly registration: string;
  readonly kind: VisitKind;
  readonly dueOn: Day | null;
  readonly minutes: number;
  readonly places: number;
  readonly because: string;
}

export interface PlacedRecord extends PlannedVisitRecord {
  readonly week: string;
  /** The weeks that its owner may choose from; none for a booking. */
  readonly offered: string[];
}

export interface PlanRecord {
  readonly from: Day;
  readonly weeks: string[];
  readonly applied: boolean;
  /** How many offers were made, were ended and stay as they are; counted in a dry run too. */
  readonly offers: { readonly made: number; readonly ended: number; readonly kept: number };
  readonly placed: PlacedRecord[];
  readonly outside: (PlacedRecord & { readonly latenessWeeks: number })[];
  readonly unplaced: (PlannedVisitRecord & { readonly reason: UnplacedReason })[];
  readonly jams: JamRecord[];
  readonly gap: { readonly bound: number; readonly placed: number; readonly words: string };
  /** Tops that let a whole further interval go by: they are left to the call list. */
  readonly leftToCalls: number;
  /** Owners of these weeks who cannot be written to or want no offers: they get none. */
  readonly notWritten: number;
  readonly says: string[];
  readonly because: string[];
}

export interface DrawnPlan {
  readonly calendar: DiaryCalendar;
  readonly from: Day;
  readonly weeks: readonly CalendarWeek[];
  readonly plan: BenchPlan;
  readonly visits: readonly DiaryVisit[];
  readonly choices: ReadonlyMap<string, Choice>;
  readonly leftToCalls: number;
  readonly notWritten: number;
  readonly applied: boolean;
  readonly offers: PlanRecord['offers'];
}

/** A plan as people read it. */
export function planRecord(drawn: DrawnPlan): PlanRecord {
  const { calendar, from, weeks, plan, choices, applied, offers } = drawn;
  const { leftToCalls, notWritten } = drawn;
  const byId = new Map(drawn.visits.map((visit) => [visit.id, plannedRecord(visit)]));
  const listed = <Entry extends { readonly id: string | number }, Item>(
    entries: readonly Entry[],
    itemOf: (visit: PlannedVisitRecord, entry: Entry) => Item,
  ): Item[] =>
    entries.flatMap((entry) => {
      const visit = byId.get(String(entry.id));
      return visit === undefined ? [] : [itemOf(visit, entry)];
    });
  const placedAt = (visit: PlannedVisitRecord, entry: BenchPlan['placed'][number]) => ({
    ...visit,
    week: String(entry.week),
    offered: choices.get(String(entry.id))?.weeks ?? [],
  });
  const jams = jamRecords(plan.jams, plan.jamUnit, weeks);
  return {
    from,
    weeks: weeks.map(({ id }) => id),
    applied,
    offers,
    placed: listed(plan.placed, placedAt),
    outside: listed(plan.outside, (visit, entry) => ({
      ...placedAt(visit, entry),
      latenessWeeks: entry.latenessWeeks,
    })),
    unplaced: listed(plan.unplaced, (visit, { reason }) => ({ ...visit, reason })),
    jams,
    gap: { ...plan.gap, words: gapInWords(plan.gap) },
    leftToCalls,
    notWritten,
    says: [
      ...jams.map(({ words }) => words),
      ...plan.overbooked.map(overbookedInWords),
      ...lateInWords(plan),
    ],
    because: calendarInWords(calendar),
  };
}

function plannedRecord(visit: DiaryVisit): PlannedVisitRecord {
  const { id, on, kind, dueOn, minutes, places, because } = visit;
  const { topId, carId, ownerId, ownerName, registration } = visit.top;
  return {
    standing: on === null ? 'expected' : 'booked',
    visitId: on === null ? null : id,
    topId,
    carId,
    ownerId,
    ownerName,
    registration,
    kind,
    dueOn,
    minutes,
    places,
    because,
  };
}

function visits(count: number): string {
  return `${count} ${count === 1 ? 'visit' : 'visits'}`;
}

function lateInWords({ outside, unplaced }: BenchPlan): string[] {
  const late = outside.filter(({ latenessWeeks }) => latenessWeeks > 0).length;
  return [
    ...(late > 0 ? [`after their due window: ${visits(late)}`] : []),
    ...(unplaced.length > 0 ? [`no room in these weeks: ${visits(unplaced.length)}`] : []),
  ];
}

function gapInWords({ bound, placed }: BenchPlan['gap']): string {
  return placed >= bound
    ? `${visits(placed)} in their due windows; no plan can have more`
    : `${visits(placed)} in their due windows; at most ${bound - placed} more could be`;
}

function overbookedInWords({ week, booked, capacity }: BenchPlan['overbooked'][number]): string {
  return `${weeksInWords(week, week)}: ${booked} half hours booked, room for ${capacity}`;
}
