import { PIVOT_STATES } from './state.ts';

/** The row of one pivot as a visit brings it in. */
export interface PivotRow {
  readonly pivot: string;
  readonly state?: string | undefined;
  readonly washersPresent?: number | undefined;
  readonly axialPlayMm?: number | undefined;
  readonly radialPlayMm?: number | undefined;
}

export interface RowProblem {
  /** Path inside the visit, as `readings.2.washersPresent`. */
  readonly field: string;
  readonly problem: string;
}

/** No joint with more play than this is still a joint: it is a slip of the pen. */
export const MOST_PLAY_MM = 20;

/**
 * What is impossible in the rows of one visit, by field; empty where nothing is. `pivots` are the
 * pivots of the top's frame.
 */
export function pivotRowProblems(
  rows: readonly PivotRow[],
  pivots: readonly { readonly code: string; readonly washersExpected: number }[],
): RowProblem[] {
  const expected = new Map(pivots.map((pivot) => [pivot.code, pivot.washersExpected]));
  const states: readonly string[] = PIVOT_STATES;
  const seen = new Set<string>();
  const problems: RowProblem[] = [];
  for (const [i, row] of rows.entries()) {
    const say = (field: keyof PivotRow, problem: string) =>
      problems.push({ field: `readings.${i}.${field}`, problem });
    const washers = expected.get(row.pivot);
    if (washers === undefined) say('pivot', `this frame has no pivot ${row.pivot}`);
    if (seen.has(row.pivot)) say('pivot', `${row.pivot} comes twice in one visit`);
    seen.add(row.pivot);
    if (row.state !== undefined && !states.includes(row.state)) {
      say('state', `a state is one of ${states.join(', ')}`);
    }
    const present = row.washersPresent;
    if (present !== undefined && !(Number.isInteger(present) && present >= 0)) {
      say('washersPresent', 'washers are counted in whole numbers from 0 up');
    } else if (present !== undefined && washers !== undefined && present > washers) {
      say('washersPresent', `more washers than the ${washers} that belong at ${row.pivot}`);
    }
    for (const field of ['axialPlayMm', 'radialPlayMm'] as const) {
      const mm = row[field];
      if (mm !== undefined && !(mm >= 0 && mm <= MOST_PLAY_MM)) {
        say(field, `play lies between 0 and ${MOST_PLAY_MM} mm`);
      }
    }
  }
  return problems;
}
