import type { Jam, JamUnit } from '../../domain/bench/hall.ts';
import { jamSentence, worstJams } from '../../domain/bench/hall.ts';
import type { BenchVisit, BenchWeek } from '../../domain/bench/horizon.ts';
import { isoWeekOf } from '../../domain/calendar/day.ts';
import type { CalendarWeek } from './diary-calendar.ts';
import type { DiaryVisit } from './diary-visits.ts';

/** A run of weeks into which more must fit than there is room for. */
export interface JamRecord {
  readonly from: string;
  readonly to: string;
  readonly need: number;
  readonly room: number;
  /** Places are half hours; visits are counted only where all take equally long. */
  readonly unit: JamUnit;
  readonly words: string;
}

/** The jams worth showing, the worst first. */
export function jamRecords(
  jams: readonly Jam[],
  unit: JamUnit,
  weeks: readonly CalendarWeek[],
): JamRecord[] {
  const ids = weeks.map(({ id }) => id);
  return worstJams(jams, ids).map((jam) => ({
    from: String(jam.from),
    to: String(jam.to),
    need: jam.need,
    room: jam.room,
    unit,
    words: jamSentence(jam, unit),
  }));
}

export function benchWeeks(weeks: readonly CalendarWeek[]): BenchWeek[] {
  return weeks.map(({ id, capacity }) => ({ id, capacity }));
}

/** Visits as the plan takes them: a booking is fixed to its week. `offered` is by top and due day. */
export function benchVisits(
  visits: readonly DiaryVisit[],
  offered: ReadonlyMap<string, string> = new Map(),
): BenchVisit[] {
  return visits.map(({ id, places, earliest, latest, on }) => ({
    id,
    places,
    earliest,
    latest,
    ...(on === null ? { offered: offered.get(id) } : { fixed: isoWeekOf(on).id }),
  }));
}
