import type { Horizon, WeekId } from './horizon.ts';

/** A run of weeks into which more must fit than there is room for; both ends included. */
export interface Jam {
  readonly from: WeekId;
  readonly to: WeekId;
  /** What must fit: visits whose window lies wholly inside, or their places (see `JamUnit`). */
  readonly need: number;
  readonly room: number;
}

/** Jams count visits where all visits take equal places, else places of half an hour. */
export type JamUnit = 'visits' | 'places';

/**
 * Every run of weeks that breaks Hall's condition (Hall 1935, for windows that are intervals): the
 * visits whose window lies inside need more than the room that booked visits leave there. Short
 * runs come first, then early ones. None: every visit fits into its window, provided that all take
 * equal places. Visits with no week of their window listed are left out. Told with their unit.
 */
export function jamsOf(horizon: Horizon): { jams: Jam[]; unit: JamUnit } {
  const { weeks, open } = horizon;
  const size = equalPlaces(horizon);
  const room = horizon.room.map((places) => (size ? Math.floor(places / size) : places));
  const count = weeks.length;
  // need[from][to]: what lies wholly inside, from the next shorter runs.
  const need = Array.from({ length: count + 1 }, () => new Float64Array(count + 1));
  for (const visit of open) {
    if (visit.latest < visit.earliest) continue;
    const row = need[visit.earliest];
    if (row) row[visit.latest + 1] = (row[visit.latest + 1] ?? 0) + (size ? 1 : visit.places);
  }
  const found: { from: number; to: number; need: number; room: number }[] = [];
  for (let from = count - 1; from >= 0; from -= 1) {
    const row = need[from] ?? [];
    let places = 0;
    let own = 0;
    for (let to = from; to < count; to += 1) {
      places += room[to] ?? 0;
      own += row[to + 1] ?? 0;
      row[to + 1] = own + (need[from + 1]?.[to + 1] ?? 0);
      if ((row[to + 1] ?? 0) > places) {
        found.push({ from, to, need: row[to + 1] ?? 0, room: places });
      }
    }
  }
  found.sort((a, b) => a.to - a.from - (b.to - b.from) || a.from - b.from);
  const named = found.map((jam) => ({
    ...jam,
    from: weeks[jam.from] ?? '',
    to: weeks[jam.to] ?? '',
  }));
  return { jams: named, unit: size ? 'visits' : 'places' };
}

/** The places that every visit to be placed takes, or `undefined` where they differ. */
export function equalPlaces(horizon: Horizon): number | undefined {
  const size = horizon.open[0]?.places ?? 1;
  return horizon.open.every((visit) => visit.places === size) ? size : undefined;
}

/**
 * The few jams worth showing: first the worst shortages that do not overlap (of equal ones the
 * shortest run), then the cores, runs that are jammed with no jam inside them. Takes them in the
 * order that `jams` gives.
 */
export function worstJams(all: readonly Jam[], weeks: readonly WeekId[], most = 3): Jam[] {
  const at = new Map(weeks.map((id, i) => [id, i]));
  const runs = all.map((jam) => ({
    jam,
    from: at.get(jam.from) ?? 0,
    to: at.get(jam.to) ?? 0,
    short: jam.need - jam.room,
  }));
  const worst = runs.toSorted((a, b) => b.short - a.short || a.to - a.from - (b.to - b.from));
  const shown: typeof runs = [];
  for (const run of worst) {
    if (shown.length === most) break;
    if (shown.every((other) => run.to < other.from || other.to < run.from)) shown.push(run);
  }
  const cores: typeof runs = [];
  for (const run of runs) {
    if (cores.every((core) => core.from < run.from || core.to > run.to)) cores.push(run);
  }
  for (const core of cores.toSorted((a, b) => b.short - a.short)) {
    if (shown.length < most && !shown.includes(core)) shown.push(core);
  }
  return shown.map((run) => run.jam);
}

/** A jam in words: "weeks 22–23: 5 visits must fit, room for 4". */
export function jamSentence(jam: Jam, unit: JamUnit = 'visits'): string {
  const one = jam.need === 1;
  const room = jam.room === 0 ? 'no room' : `room for ${jam.room}`;
  const need =
    unit === 'visits'
      ? `${jam.need} ${one ? 'visit' : 'visits'} must fit`
      : `visits of ${jam.need} half ${one ? 'hour' : 'hours'} in all must fit`;
  return `${weeksInWords(jam.from, jam.to)}: ${need}, ${room}`;
}

/** "week 22", "weeks 22–23 of 2026" for ISO weeks, "weeks 52 of 2026 – 1 of 2027". */
export function weeksInWords(from: WeekId, to: WeekId): string {
  const first = isoWeek(from);
  const last = isoWeek(to);
  if (from === to) return first ? `week ${first.week} of ${first.year}` : `week ${from}`;
  if (!first || !last) return `weeks ${from}–${to}`;
  if (first.year === last.year) return `weeks ${first.week}–${last.week} of ${first.year}`;
  return `weeks ${first.week} of ${first.year} – ${last.week} of ${last.year}`;
}

function isoWeek(id: WeekId): { year: string; week: number } | undefined {
  const [, year, week] = /^(\d{4})-W(\d{2})$/.exec(String(id)) ?? [];
  return year === undefined || week === undefined ? undefined : { year, week: Number(week) };
}
