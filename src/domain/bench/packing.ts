import type { OpenVisit } from './horizon.ts';

/** A step of a chain of moves: `comes` goes into `week`, and someone there makes room for it. */
interface Step {
  readonly week: number;
  readonly comes: number;
  readonly before: Step | undefined;
}

/** What the occupants of a week with one length can reach between them, and who reaches the ends. */
interface Reach {
  readonly places: number;
  readonly earliest: number;
  readonly latest: number;
  readonly early: number;
  readonly late: number;
}

/**
 * Visits of mixed lengths in weeks, and the moves between them. Positions as in `OpenVisit`; the
 * position `weeks` is "nowhere". Every change is in the journal, so that it can be taken back.
 */
export class Packing {
  readonly at: number[];
  readonly weeks: number;
  private readonly visits: readonly OpenVisit[];
  private readonly room: number[];
  private readonly inWeek: Set<number>[];
  private readonly reaches: (readonly Reach[] | undefined)[];
  private readonly rowOf: ReadonlyMap<number, number>;
  private readonly seen: Int32Array;
  private searches = 0;
  private readonly journal: { visit: number; from: number }[] = [];

  constructor(room: readonly number[], visits: readonly OpenVisit[]) {
    this.weeks = room.length;
    this.visits = visits;
    this.room = [...room];
    this.at = visits.map(() => room.length);
    this.inWeek = room.map(() => new Set());
    this.reaches = room.map(() => undefined);
    const lengths = new Set(visits.map((visit) => visit.places));
    this.rowOf = new Map([...lengths].map((length, i) => [length, i * room.length]));
    this.seen = new Int32Array(lengths.size * room.length);
  }

  /** Places left in a week; below 0 while a visit was forced in. */
  roomIn(week: number): number {
    return this.room[week] ?? 0;
  }

  /** Visits in a week that stand inside their windows. */
  insiders(week: number): number[] {
    return [...(this.inWeek[week] ?? [])].filter((v) => this.isInside(v, week));
  }

  isInside(v: number, week: number): boolean {
    const visit = this.visits[v];
    return visit !== undefined && visit.earliest <= week && week <= visit.latest;
  }

  put(v: number, week: number): void {
    const places = this.visits[v]?.places ?? 0;
    const from = this.at[v] ?? this.weeks;
    this.journal.push({ visit: v, from });
    this.at[v] = week;
    if (from < this.weeks) {
      this.room[from] = (this.room[from] ?? 0) + places;
      this.inWeek[from]?.delete(v);
      this.reaches[from] = undefined;
    }
    if (week < this.weeks) {
      this.room[week] = (this.room[week] ?? 0) - places;
      this.inWeek[week]?.add(v);
      this.reaches[week] = undefined;
    }
  }

  /** A mark to go back to with `undo`. */
  mark(): number {
    return this.journal.length;
  }

  undo(mark: number): void {
    for (let i = this.journal.length - 1; i >= mark; i -= 1) {
      const change = this.journal[i];
      if (change) this.put(change.visit, change.from);
    }
    this.journal.length = mark;
  }

  /**
   * Into a week from `first` to `last`: one with room, else by the shortest chain of moves in which
   * each visit takes the room that the next one leaves, and all stay inside their windows.
   */
  seat(v: number, first: number, last: number): boolean {
    this.searches += 1;
    const queue: Step[] = [];
    this.reach(queue, v, first, last, undefined);
    for (const step of queue) {
      const places = this.visits[step.comes]?.places ?? 0;
      const room = this.room[step.week] ?? 0;
      if (room >= places && this.follow(step)) return true;
      for (const group of this.reachesOf(step.week)) {
        if (room + group.places < places) continue;
        this.reach(queue, group.early, group.earliest, step.week - 1, step);
        this.reach(queue, group.late, step.week + 1, group.latest, step);
      }
    }
    return false;
  }

  private reach(
    queue: Step[],
    comes: number,
    first: number,
    last: number,
    before: Step | undefined,
  ): void {
    const row = this.rowOf.get(this.visits[comes]?.places ?? 0) ?? 0;
    for (let week = first; week <= last; week += 1) {
      if (this.seen[row + week] === this.searches) continue;
      this.seen[row + week] = this.searches;
      queue.push({ week, comes, before });
    }
  }

  /** Makes the moves of a chain from its end; one that crosses itself may not fit after all. */
  private follow(last: Step): boolean {
    const mark = this.mark();
    for (let step: Step | undefined = last; step; step = step.before) {
      if ((this.room[step.week] ?? 0) < (this.visits[step.comes]?.places ?? 0)) {
        this.undo(mark);
        return false;
      }
      this.put(step.comes, step.week);
    }
    return true;
  }

  private reachesOf(week: number): readonly Reach[] {
    const known = this.reaches[week];
    if (known) return known;
    const groups = new Map<number, Reach>();
    for (const v of this.inWeek[week] ?? []) {
      const visit = this.visits[v];
      if (!visit || !this.isInside(v, week)) continue;
      const { places, earliest, latest } = visit;
      const group = groups.get(places) ?? { places, earliest, latest, early: v, late: v };
      groups.set(places, {
        places,
        earliest: Math.min(group.earliest, earliest),
        latest: Math.max(group.latest, latest),
        early: earliest < group.earliest ? v : group.early,
        late: latest > group.latest ? v : group.late,
      });
    }
    const list = [...groups.values()];
    this.reaches[week] = list;
    return list;
  }
}
