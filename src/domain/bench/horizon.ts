/** A week or a visit is known by any text or number; weeks are given in their order. */
export type WeekId = string | number;
export type VisitId = string | number;

/** One week's bench, in places of half an hour. */
export interface BenchWeek {
  readonly id: WeekId;
  readonly capacity: number;
}

/** One visit: its places of half an hour and its window from `earliest` to `latest`, inclusive. */
export interface BenchVisit {
  readonly id: VisitId;
  readonly places: number;
  readonly earliest: WeekId;
  readonly latest: WeekId;
  /** The week that was offered to the owner and is not answered yet. */
  readonly offered?: WeekId | undefined;
  /** The week that is booked: it never moves. */
  readonly fixed?: WeekId | undefined;
}

/**
 * Input that no plan can be made from; `field` is the path of the value at fault, the message says what
 * to give instead.
 */
export class BenchInputError extends Error {
  readonly field: string;

  constructor(field: string, message: string) {
    super(message);
    this.name = 'BenchInputError';
    this.field = field;
  }
}

/**
 * A visit that may be placed, in positions of the list of weeks. `earliest` is clipped to the first
 * week and equals the number of weeks where the window lies wholly behind the last; `latest` is −1
 * where the window lies wholly before the first. `offered` is −1 where it names no listed week.
 */
export interface OpenVisit {
  readonly id: VisitId;
  readonly places: number;
  readonly earliest: number;
  readonly latest: number;
  readonly offered: number;
  readonly wasOffered: boolean;
}

/** A booked visit, with the weeks by which it lies behind its window (negative: ahead of it). */
export interface BookedVisit {
  readonly id: VisitId;
  readonly places: number;
  readonly week: WeekId;
  /** Position of the booked week, or −1 where the list does not hold it. */
  readonly at: number;
  readonly inWindow: boolean;
  readonly latenessWeeks: number;
}

/** The input of a plan, checked and turned from ids into positions. */
export interface Horizon {
  readonly weeks: readonly WeekId[];
  readonly capacity: readonly number[];
  /** What the booked visits leave, in places, never below 0. */
  readonly room: readonly number[];
  /** Places booked per week. */
  readonly booked: readonly number[];
  readonly open: readonly OpenVisit[];
  readonly fixed: readonly BookedVisit[];
}

/** Far above any week of any shop; it bounds the work that a wrong number could cause. */
const MOST_PLACES = 10_000;

const GIVEN_TWICE = 'Give an id that no other has';

const inOrder = new Intl.Collator('en', { numeric: true });

/**
 * Checks the weeks and visits of a plan and turns ids into positions. A week that is not listed is
 * taken for one before, between or behind the listed ones by its natural order ("2026-W9" before
 * "2026-W10"), which needs a list that is itself in that order. Throws `BenchInputError`.
 */
export function readHorizon(weeks: readonly BenchWeek[], visits: readonly BenchVisit[]): Horizon {
  const capacity = weeks.map((week, i) => placesOf(0, week.capacity, `weeks[${i}].capacity`));
  const locate = locator(weeks);
  const booked = weeks.map(() => 0);
  const open: OpenVisit[] = [];
  const fixed: BookedVisit[] = [];
  const seen = new Set<string>();
  for (const [i, visit] of visits.entries()) {
    const field = `visits[${i}]`;
    if (seen.has(String(visit.id))) throw new BenchInputError(`${field}.id`, GIVEN_TWICE);
    seen.add(String(visit.id));
    const places = placesOf(1, visit.places, `${field}.places`);
    if (!Number.isInteger(places)) {
      throw new BenchInputError(`${field}.places`, 'Give a whole number of half hours');
    }
    const first = locate(visit.earliest, `${field}.earliest`);
    const last = locate(visit.latest, `${field}.latest`);
    if (first > last || (first === last && endsFirst(visit))) {
      throw new BenchInputError(`${field}.latest`, 'Give a week no earlier than "earliest"');
    }
    const window = { earliest: Math.max(0, Math.ceil(first)), latest: Math.floor(last) };
    if (visit.fixed === undefined) {
      const wasOffered = visit.offered !== undefined;
      const at = wasOffered ? locate(visit.offered, `${field}.offered`) : -1;
      const offered = Number.isInteger(at) ? at : -1;
      open.push({ id: visit.id, places, ...window, offered, wasOffered });
      continue;
    }
    const at = locate(visit.fixed, `${field}.fixed`);
    const listed = Number.isInteger(at) && at >= 0 ? at : -1;
    if (listed >= 0) booked[listed] = (booked[listed] ?? 0) + places;
    const inWindow = first <= at && at <= last;
    const latenessWeeks = at > last ? Math.ceil(at - last) : Math.min(0, Math.floor(at - first));
    fixed.push({ id: visit.id, places, week: visit.fixed, at: listed, inWindow, latenessWeeks });
  }
  const room = capacity.map((places, w) => Math.max(0, Math.floor(places) - (booked[w] ?? 0)));
  return { weeks: weeks.map((week) => week.id), capacity, room, booked, open, fixed };
}

function placesOf(least: number, value: number, field: string): number {
  if (!Number.isFinite(value) || value < least || value > MOST_PLACES) {
    throw new BenchInputError(field, `Give a number from ${least} to ${MOST_PLACES}`);
  }
  return value;
}

/** Both ends fall between the same two listed weeks, or are the same one: only the ids can tell. */
function endsFirst(visit: BenchVisit): boolean {
  return inOrder.compare(String(visit.earliest), String(visit.latest)) > 0;
}

/** Positions of weeks by id; a half says "between the listed weeks before and after it". */
function locator(weeks: readonly BenchWeek[]): (id: WeekId, field: string) => number {
  if (weeks.length === 0) throw new BenchInputError('weeks', 'Give at least one week');
  const ids = weeks.map((week) => String(week.id));
  const position = new Map<string, number>();
  for (const [i, id] of ids.entries()) {
    if (position.has(id)) throw new BenchInputError(`weeks[${i}].id`, GIVEN_TWICE);
    position.set(id, i);
  }
  const ordered = ids.every((id, i) => i === 0 || inOrder.compare(ids[i - 1] ?? '', id) < 0);
  return (id, field) => {
    const text = String(id);
    const known = position.get(text);
    if (known !== undefined) return known;
    if (!ordered)
      throw new BenchInputError(
        field,
        'Give one of the weeks: another has no place in weeks out of order',
      );
    const next = ids.findIndex((listed) => inOrder.compare(listed, text) > 0);
    const between = (next < 0 ? ids.length : next) - 0.5;
    position.set(text, between);
    return between;
  };
}
