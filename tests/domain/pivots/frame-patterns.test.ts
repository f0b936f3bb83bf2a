import { describe, expect, it } from 'vitest';
import {
  FRAME_PATTERNS,
  framePatternNamed,
  pivotCodeProblem,
  pivotInWords,
  sideOf,
} from '../../../src/domain/pivots/frame-patterns.ts';
import type { FramePattern, PivotKind } from '../../../src/domain/pivots/frame-patterns.ts';

const patterns: readonly FramePattern[] = Object.values(FRAME_PATTERNS);

/** Counts a side of each kind, at least and at most (from memory). */
const COUNTS: Readonly<Record<PivotKind, readonly [number, number]>> = {
  main: [1, 1],
  link: [2, 2],
  knuckle: [1, 2],
  stick: [1, 3],
  'header-hinge': [0, 1],
  'rear-bow': [0, 1],
  latch: [1, 1],
  'spring-end': [0, 2],
  ram: [0, 4],
};

describe('frame patterns', () => {
  // Joints a side of each sort of frame (from memory).
  it.each([
    ['two-seat-manual', 4, 6],
    ['four-seat-manual', 7, 10],
    ['four-seat-powered', 10, 14],
  ])('%s has %i to %i pivots a side', (name, least, most) => {
    const pattern = framePatternNamed(name);
    for (const side of ['L', 'R']) {
      const count = pattern?.pivots.filter((pivot) => pivot.side === side).length ?? 0;
      expect(count).toBeGreaterThanOrEqual(least);
      expect(count).toBeLessThanOrEqual(most);
    }
  });

  it.each(patterns)('$name has kinds in the usual numbers and rams only if powered', (pattern) => {
    const left = pattern.pivots.filter(({ side }) => side === 'L');
    for (const [kind, [least, most]] of Object.entries(COUNTS)) {
      const count = left.filter((pivot) => pivot.kind === kind).length;
      expect(count).toBeGreaterThanOrEqual(least);
      expect(count).toBeLessThanOrEqual(most);
    }
    expect(left.some(({ kind }) => kind === 'ram')).toBe(pattern.powered);
  });

  it.each(patterns)('$name has sound codes, none twice, the same on both sides', (pattern) => {
    const codes = pattern.pivots.map(({ code }) => code);
    expect(new Set(codes).size).toBe(codes.length);
    expect(codes.map(pivotCodeProblem)).toEqual(codes.map(() => null));
    expect(pattern.pivots.every(({ code, side }) => sideOf(code) === side)).toBe(true);
    const names = (side: string) =>
      codes.filter((code) => code.startsWith(side)).map((code) => code.slice(2));
    expect(names('L')).toEqual(names('R'));
  });

  it.each(patterns)('$name is numbered from the body forward and fits its drawing', (pattern) => {
    const left = pattern.pivots.filter(({ side }) => side === 'L');
    for (const { x, y } of left) {
      expect(Math.min(x, y)).toBeGreaterThanOrEqual(0);
      expect(Math.max(x, y)).toBeLessThanOrEqual(100);
    }
    for (const kind of Object.keys(COUNTS)) {
      const along = left.filter((pivot) => pivot.kind === kind);
      expect(along.map(({ x }) => x)).toEqual(along.map(({ x }) => x).sort((a, b) => a - b));
      expect(along.map(({ code }) => code)).toEqual(along.map(({ code }) => code).sort());
    }
    expect(new Set(left.map(({ x, y }) => `${x}/${y}`)).size).toBe(left.length);
  });

  // A frame refresh takes 14 to 20 pairs of washers on a four-seater (from memory).
  it('asks for 14 to 20 pairs of washers on a four-seat frame', () => {
    const washers = FRAME_PATTERNS['four-seat-manual'].pivots.reduce(
      (sum, { washersExpected }) => sum + washersExpected,
      0,
    );
    expect(washers / 2).toBeGreaterThanOrEqual(14);
    expect(washers / 2).toBeLessThanOrEqual(20);
  });

  it.each(['', 'three-seat', 'toString', 'constructor'])('knows no pattern %j', (name) => {
    expect(framePatternNamed(name)).toBeUndefined();
  });
});

describe('pivot codes', () => {
  it.each(['L-MAIN', 'R-LINK1', 'L-KNUCKLE12', 'R-BOW'])('takes %s', (code) => {
    expect(pivotCodeProblem(code)).toBeNull();
  });

  it.each(['MAIN', 'X-MAIN', 'l-main', 'L-', 'LMAIN', 'L_MAIN', ''])('asks for a side: %j', (c) => {
    expect(pivotCodeProblem(c)).toMatch(c.startsWith('L-') ? /name/ : /side/);
  });

  it.each(['L-main', 'L-LINK0', 'L-LINK100', 'L-1', 'L-LINK 1', 'L-MAIN\n', 'R-A', 'L-LINK1A'])(
    'asks for a name: %j',
    (code) => {
      expect(pivotCodeProblem(code)).toMatch(/name/);
    },
  );

  it('says them as people do', () => {
    expect(pivotInWords('L-MAIN')).toBe('left main');
    expect(pivotInWords('R-LINK2')).toBe('right link 2');
  });
});
