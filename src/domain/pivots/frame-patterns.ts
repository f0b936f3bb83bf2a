/** What a joint of a folding frame is for; the figures of a pivot hang on this. */
export const PIVOT_KINDS = [
  'main',
  'link',
  'knuckle',
  'stick',
  'header-hinge',
  'rear-bow',
  'latch',
  'spring-end',
  'ram',
] as const;
export type PivotKind = (typeof PIVOT_KINDS)[number];

/** Left or right as seen sitting in the car facing forward. */
export type Side = 'L' | 'R';

/** One joint of a frame pattern. */
export interface PatternPivot {
  /** Side and name, counted from the body forward: `L-MAIN`, `R-LINK1`. */
  readonly code: string;
  readonly side: Side;
  readonly kind: PivotKind;
  /** Spacer washers that belong in the joint. */
  readonly washersExpected: number;
  /** Nominal pin diameter in mm. */
  readonly pinMm: number;
  /**
   * Place in the side view of the raised frame, 0 to 100 each: x from the body (left) to the
   * header (right), y from the roof line (0) down to the sill (100), as a page draws it. Both
   * sides share one drawing.
   */
  readonly x: number;
  readonly y: number;
}

/** A named drawing of a folding frame. */
export interface FramePattern {
  readonly name: string;
  /** What a person reads on a page. */
  readonly label: string;
  readonly powered: boolean;
  /** Left side first, each side from the body forward. */
  readonly pivots: readonly PatternPivot[];
}

type Joint = readonly [name: string, kind: PivotKind, x: number, y: number];

/**
 * Washers and pin per kind, from memory: the joints that carry the frame have a spacer on both
 * faces and an 8 mm pin, the light ones 6 mm; latches, springs and ram clevises have no spacers.
 */
const USUAL: Readonly<Record<PivotKind, readonly [washers: number, pinMm: number]>> = {
  main: [2, 8],
  link: [2, 8],
  knuckle: [2, 8],
  stick: [2, 6],
  'header-hinge': [2, 6],
  'rear-bow': [2, 6],
  latch: [0, 6],
  'spring-end': [0, 8],
  ram: [0, 8],
};

function bothSides(joints: readonly Joint[]): readonly PatternPivot[] {
  return (['L', 'R'] as const).flatMap((side) =>
    joints.map(([name, kind, x, y]) => {
      const [washersExpected, pinMm] = USUAL[kind];
      return { code: `${side}-${name}`, side, kind, washersExpected, pinMm, x, y };
    }),
  );
}

/**
 * The patterns that come built in. The numbers of joints are from memory (four to six a side on a
 * manual two-seater, seven to ten on a four-seater, ten to fourteen when powered); a shop that
 * wants its own frame exactly draws its own pattern.
 */
export const FRAME_PATTERNS = {
  'two-seat-manual': {
    name: 'two-seat-manual',
    label: 'Two seats, folded by hand',
    powered: false,
    pivots: bothSides([
      ['MAIN', 'main', 10, 72],
      ['LINK1', 'link', 20, 58],
      ['LINK2', 'link', 36, 38],
      ['STICK1', 'stick', 42, 24],
      ['KNUCKLE1', 'knuckle', 60, 22],
      ['LATCH', 'latch', 96, 38],
    ]),
  },
  'four-seat-manual': {
    name: 'four-seat-manual',
    label: 'Four seats, folded by hand',
    powered: false,
    pivots: bothSides([
      ['MAIN', 'main', 8, 72],
      ['LINK1', 'link', 16, 60],
      ['LINK2', 'link', 30, 38],
      ['STICK1', 'stick', 34, 22],
      ['KNUCKLE1', 'knuckle', 44, 26],
      ['STICK2', 'stick', 58, 16],
      ['KNUCKLE2', 'knuckle', 70, 24],
      ['HEADER', 'header-hinge', 87, 32],
      ['LATCH', 'latch', 97, 38],
    ]),
  },
  'four-seat-powered': {
    name: 'four-seat-powered',
    label: 'Four seats, powered',
    powered: true,
    pivots: bothSides([
      ['MAIN', 'main', 10, 72],
      ['BOW', 'rear-bow', 6, 54],
      ['RAM1', 'ram', 18, 82],
      ['LINK1', 'link', 18, 62],
      ['RAM2', 'ram', 27, 52],
      ['LINK2', 'link', 32, 38],
      ['STICK1', 'stick', 36, 22],
      ['KNUCKLE1', 'knuckle', 46, 26],
      ['STICK2', 'stick', 58, 16],
      ['KNUCKLE2', 'knuckle', 70, 24],
      ['HEADER', 'header-hinge', 87, 32],
      ['LATCH', 'latch', 97, 38],
    ]),
  },
} as const satisfies Readonly<Record<string, FramePattern>>;

/** The built-in pattern of that name, or undefined. */
export function framePatternNamed(name: string): FramePattern | undefined {
  return Object.values<FramePattern>(FRAME_PATTERNS).find((pattern) => pattern.name === name);
}

/** What is wrong with a pivot code that a shop gives, in words; null when it will do. */
export function pivotCodeProblem(code: string): string | null {
  if (!/^[LR]-/.test(code)) {
    return 'a pivot code begins with L- or R-, the side as seen sitting in the car facing forward';
  }
  if (!/^[A-Z]{2,16}(?:[1-9][0-9]?)?$/.test(code.slice(2))) {
    return 'after the side comes a name of 2 to 16 capital letters and, if needed, a number from 1 to 99';
  }
  return null;
}

/** The side a pivot code names. Codes are checked on their way in by `pivotCodeProblem`. */
export function sideOf(code: string): Side {
  return code.startsWith('R') ? 'R' : 'L';
}

/** A pivot code as a person says it: `L-LINK2` is "left link 2". */
export function pivotInWords(code: string): string {
  const name = code
    .slice(2)
    .toLowerCase()
    .replace(/(\d+)$/, ' $1');
  return `${sideOf(code) === 'L' ? 'left' : 'right'} ${name}`;
}
