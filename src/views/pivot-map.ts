import type { PatternPivot, Side } from '../domain/pivots/frame-patterns.ts';
import type { Verdict } from '../domain/pivots/state.ts';

/** A pivot that was never read is not called good, whatever the rule makes of no signs at all. */
export type Shown = Verdict | 'unread';

/** One pivot on the drawing; `x` and `y` are in the drawing's own units. */
export interface MapPoint {
  readonly number: number;
  readonly code: string;
  readonly verdict: Shown;
  readonly x: number;
  readonly y: number;
}

export interface MapSide {
  readonly side: Side;
  readonly name: string;
  readonly points: readonly MapPoint[];
  /** The frame from joint to joint, as points of a line. */
  readonly line: string;
  /** The drawing in one sentence, for those who do not see it. */
  readonly told: string;
}

interface Judged {
  readonly code: string;
  readonly side: Side;
  readonly kind: string;
  readonly verdict: Shown;
}

/** Width and height of a drawing; the templates use the same. */
const WIDE = 400;
const HIGH = 250;
const EDGE = 24;
/** Points nearer than this would hide each other: the marks are 26 wide. */
const NEAREST = 27;

const SIDES = [
  ['L', 'Left side'],
  ['R', 'Right side'],
] as const;

// Rams push on the frame and sticks stand on it; the line follows what folds.
const ON_THE_LINE: readonly string[] = ['main', 'link', 'knuckle', 'header-hinge', 'latch'];

/**
 * The frame as two drawings, left and right, with every pivot where its pattern has it. A pattern
 * that says nothing useful about places, as a shop's own may, is drawn as a row from the body forward.
 */
export function pivotMap(
  pivots: readonly Judged[],
  pattern: readonly Pick<PatternPivot, 'code' | 'x' | 'y'>[],
): MapSide[] {
  const places = new Map(pattern.map(({ code, x, y }) => [code, { x, y }]));
  const numbered = pivots.map((pivot, i) => ({ ...pivot, number: i + 1 }));
  return SIDES.map(([side, name]) => {
    const own = numbered.filter((pivot) => pivot.side === side);
    const drawn = own.map(({ code }) => placed(places.get(code)));
    const points = legible(drawn) ? drawn : own.map((_, i) => inRow(i, own.length));
    const marks = own.map(({ code, number, verdict }, i) => ({
      code,
      number,
      verdict,
      ...(points[i] ?? { x: 0, y: 0 }),
    }));
    return {
      side,
      name,
      points: marks,
      line: marks
        .filter((_, i) => ON_THE_LINE.includes(own[i]?.kind ?? ''))
        .map(({ x, y }) => `${x},${y}`)
        .join(' '),
      told: `${name}, from the body forward: ${marks.map(({ code, verdict }) => `${code} ${verdict}`).join(', ')}`,
    };
  }).filter(({ points }) => points.length > 0);
}

interface Point {
  readonly x: number;
  readonly y: number;
}

function placed(place: Point | undefined): Point | null {
  if (place === undefined) return null;
  return {
    x: round(EDGE + (place.x / 100) * (WIDE - 2 * EDGE)),
    y: round(EDGE + (place.y / 100) * (HIGH - 2 * EDGE)),
  };
}

function legible(points: readonly (Point | null)[]): points is readonly Point[] {
  return points.every(
    (a, i) =>
      a !== null &&
      points.every((b, k) => k <= i || b === null || Math.hypot(a.x - b.x, a.y - b.y) >= NEAREST),
  );
}

/** Up to ten in a row, further ones in rows below. */
function inRow(i: number, count: number): Point {
  const across = Math.min(count, 10);
  const step = across < 2 ? 0 : (WIDE - 2 * EDGE) / (across - 1);
  const row = Math.floor(i / 10);
  return { x: round(EDGE + (i % 10) * step), y: round(HIGH / 4 + row * 36) };
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
