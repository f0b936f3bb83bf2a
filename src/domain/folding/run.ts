import type { Timeline } from './position-log.ts';
import { DAMP, FOLDED, HARD_TOP, RAISED, WET } from './position-log.ts';

/** Where a log has led to; times in milliseconds since 1970-01-01T00:00Z. */
export interface Run {
  /** Mark of the position held at the end; 0 where nothing is logged. */
  mark: number;
  since: number;
  /** While it is raised: from when on it counts as resting, which may be still to come. */
  restFrom: number;
  startedAt: number | null;
  /** Rests that are over, and times under the hard top, of this stretch. */
  rested: number;
  dampAt: number | null;
  restedBeforeDamp: number;
}

/**
 * Walks a timeline once. A rest of `properRest` milliseconds or more ends a stretch; time under the hard
 * top pauses it and is no rest; a rest that still lasts at the end is left to the caller to judge. What was put up damp rests
 * from `drying` milliseconds after somebody said so last, or from when it is said to be raised and not damp.
 */
export function runOf(
  { times, marks }: Timeline,
  { properRest, drying }: { readonly properRest: number; readonly drying: number },
): Run {
  const run: Run = {
    mark: 0,
    since: 0,
    restFrom: 0,
    startedAt: null,
    rested: 0,
    dampAt: null,
    restedBeforeDamp: 0,
  };
  for (let i = 0; i < times.length; i++) {
    const time = times[i] ?? 0;
    const mark = marks[i] ?? 0;
    const position = mark & ~(DAMP | WET);
    const begins = position !== run.mark;
    if (begins) {
      if (run.mark === RAISED || run.mark === HARD_TOP) endPause(run, time, properRest);
      if (position === FOLDED && run.startedAt === null) startAt(run, time);
      run.mark = position;
      run.since = time;
    }
    if (position === RAISED) {
      if (!begins && time - run.restFrom >= properRest) run.startedAt = null;
      if (mark & WET) run.restFrom = time + drying;
      else if (begins || run.restFrom > time) run.restFrom = time;
    }
    if (mark & DAMP && run.dampAt === null) {
      run.dampAt = time;
      run.restedBeforeDamp = run.rested;
    }
  }
  return run;
}

function endPause(run: Run, time: number, properRest: number): void {
  if (run.mark === RAISED && time - run.restFrom >= properRest) run.startedAt = null;
  else run.rested += time - run.since;
}

function startAt(run: Run, time: number): void {
  run.startedAt = time;
  run.rested = 0;
  run.dampAt = null;
}
