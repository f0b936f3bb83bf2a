import type { Day } from '../calendar/day.ts';
import type { FrameReading } from '../frame/frame-readings.ts';
import type { FrameFigures } from '../frame/frame-figures.ts';
import type { HoleFigures } from '../hardware/hole.ts';
import type { PivotFigures } from '../pivots/figures.ts';

/** The limits that what is measured at a check is held against. */
export interface CheckFigures {
  readonly frame: FrameFigures;
  readonly pivots: PivotFigures;
  readonly hole: HoleFigures;
}

/** What a car's joints were last read as, and what was measured at its frame. */
export interface LastMeasures {
  readonly joints: readonly {
    readonly code: string;
    readonly washersExpected: number;
    readonly doneOn: Day;
    readonly washersPresent: number | null;
    readonly axialPlayMm: number | null;
    readonly radialPlayMm: number | null;
  }[];
  /** Since the top was fitted, oldest first. */
  readonly frame: readonly FrameReading[];
}

/** What was read last on a car of what a check measures. */
export type LastRead =
  | { readonly kind: 'not-measured' | 'not-counted' }
  /** The last value, beside the first where there is more than one. */
  | {
      readonly kind: 'measured';
      readonly unit: 'mm' | 'N';
      readonly last: Measure;
      readonly first: Measure | null;
    }
  /** The joint that showed most at its last reading. */
  | { readonly kind: 'most'; readonly code: string; readonly mm: number; readonly on: Day }
  | { readonly kind: 'none-short'; readonly on: Day }
  | {
      readonly kind: 'short';
      readonly joints: readonly {
        readonly code: string;
        readonly present: number;
        readonly expected: number;
        readonly on: Day;
      }[];
    };

interface Measure {
  readonly value: number;
  readonly on: Day;
}

/** What a check is held against: the limit, and what was read last on the car that is meant. */
export interface HeldAgainst {
  /** Empty where what is measured has no limit. */
  readonly limit: string;
  /** Null where no car is meant, or nothing is measured. */
  readonly last: LastRead | null;
}

interface Held {
  readonly limit: (figures: CheckFigures) => string;
  readonly last: (measures: LastMeasures) => LastRead | null;
}

const RULE = '(shop rule)';

/** The checks that are measured, by the id of the sign. */
const HELD: Readonly<Record<string, Held>> = {
  'sway-over-limit': {
    limit: ({ frame: f }) =>
      `Over ${f.swayPlanOver} mm asks for a repair, over ${f.swayActOver} mm, or ${f.swayActTimes} times this car's first reading, forbids moving it ${RULE}.`,
    last: ({ frame }) => sinceFirst(frame, ({ swayMm }) => swayMm, 'mm'),
  },
  'diagonals-differ': {
    limit: ({ frame: f }) =>
      `A difference over ${f.diagonalsWatchOver} mm counts, over ${f.diagonalsPlanOver} mm asks for a repair, over ${f.diagonalsActOver} mm forbids moving it ${RULE}.`,
    last: ({ frame }) => sinceFirst(frame, apart, 'mm'),
  },
  'joint-stiff-by-hand': {
    limit: ({ frame: f }) =>
      `A start that takes ${percent(f.breakawayWatchOver)} % more than this car's first reading counts ${RULE}.`,
    last: ({ frame }) => sinceFirst(frame, ({ breakawayN }) => breakawayN, 'N'),
  },
  'washer-count-short': {
    limit: ({ pivots: p }) =>
      `One that is missing counts; so does a gap of ${p.washerThickness} mm, as wide as a washer ${RULE}.`,
    last: ({ joints }) => {
      const counted = joints.filter(({ washersPresent }) => washersPresent !== null);
      const short = counted.filter(
        ({ washersPresent, washersExpected }) => (washersPresent ?? 0) < washersExpected,
      );
      if (counted.length === 0) return { kind: 'not-counted' };
      if (short.length === 0) return { kind: 'none-short', on: latest(counted) };
      return {
        kind: 'short',
        joints: short.map(({ code, washersPresent, washersExpected, doneOn }) => ({
          code,
          present: washersPresent ?? 0,
          expected: washersExpected,
          on: doneOn,
        })),
      };
    },
  },
  'gap-and-clack': {
    limit: ({ pivots: p }) =>
      `A gap over ${p.axialPlanOver} mm asks for a repair, over ${p.axialActOver} mm forbids moving it ${RULE}.`,
    last: ({ joints }) => most(joints, ({ axialPlayMm }) => axialPlayMm),
  },
  'play-differs-by-direction': {
    limit: ({ pivots: p, hole: h }) =>
      `Play over ${p.radialPlanOver} mm, or a hole more than ${h.roundPlanOver} mm out of round, asks for a repair ${RULE}.`,
    last: ({ joints }) => most(joints, ({ radialPlayMm }) => radialPlayMm),
  },
  'ram-gap-over-limit': {
    limit: ({ pivots: p }) => `Over ${p.ramActOver} mm is too much (one maker's limit).`,
    last: ({ joints }) =>
      most(
        joints.filter(({ code }) => /^[LR]-RAM/.test(code)),
        ({ axialPlayMm }) => axialPlayMm,
      ),
  },
  'fluid-or-voltage-low': {
    limit: () => "It wants 10.5 to 16 V, and under 12.6 V it is slow (one maker's repair manual).",
    last: () => null,
  },
};

/**
 * The number that a check is held against, in words, and what a car was last read as; empty and null
 * where nothing is measured. Limits are the organisation's own where it has set some.
 */
export function heldAgainst(
  sign: string,
  figures: CheckFigures,
  measures: LastMeasures | null,
): HeldAgainst {
  const held = Object.hasOwn(HELD, sign) ? HELD[sign] : undefined;
  if (held === undefined) return { limit: '', last: null };
  return { limit: held.limit(figures), last: measures === null ? null : held.last(measures) };
}

function sinceFirst(
  readings: readonly FrameReading[],
  valueOf: (reading: FrameReading) => number | undefined,
  unit: 'mm' | 'N',
): LastRead {
  const known = readings.flatMap((reading) => {
    const value = valueOf(reading);
    return value === undefined ? [] : [{ value, on: reading.doneOn }];
  });
  const [first] = known;
  const last = known.at(-1);
  if (first === undefined || last === undefined) return { kind: 'not-measured' };
  return { kind: 'measured', unit, last, first: first === last ? null : first };
}

function apart({ diagonalsMm }: FrameReading): number | undefined {
  return diagonalsMm && Number(Math.abs(diagonalsMm.left - diagonalsMm.right).toFixed(3));
}

function most(
  joints: LastMeasures['joints'],
  valueOf: (joint: LastMeasures['joints'][number]) => number | null,
): LastRead {
  const read = joints.flatMap((joint) => {
    const mm = valueOf(joint);
    return mm === null ? [] : [{ ...joint, mm }];
  });
  const worst = read.reduce<(typeof read)[number] | null>(
    (a, b) => (a === null || b.mm > a.mm ? b : a),
    null,
  );
  return worst === null
    ? { kind: 'not-measured' }
    : { kind: 'most', code: worst.code, mm: worst.mm, on: worst.doneOn };
}

function latest(joints: LastMeasures['joints']): Day {
  return joints.reduce((last, { doneOn }) => (doneOn > last ? doneOn : last), '');
}

function percent(share: number): number {
  return Math.round(share * 100);
}
