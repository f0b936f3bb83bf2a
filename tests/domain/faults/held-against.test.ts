import { describe, expect, it } from 'vitest';
import type { LastMeasures } from '../../../src/domain/faults/held-against.ts';
import { heldAgainst } from '../../../src/domain/faults/held-against.ts';
import { SIGNS } from '../../../src/domain/faults/signs.ts';
import { figuresFor } from '../../../src/domain/figure-tables/figure-tables.ts';

const FIGURES = {
  frame: figuresFor('frame'),
  pivots: figuresFor('pivots'),
  hole: figuresFor('hole'),
};
const NOTHING: LastMeasures = { joints: [], frame: [] };
const joint = (code: string, change: Partial<LastMeasures['joints'][number]> = {}) => ({
  code,
  washersExpected: 2,
  doneOn: '2026-03-02',
  washersPresent: null,
  axialPlayMm: null,
  radialPlayMm: null,
  ...change,
});

/** Checks that measure something: a gauge, a rule, a balance, a count. */
const MEASURES = /\b(?:50 N|compare|balance|count the washers|calliper|feeler|supply)\b/;

describe('what a check is held against', () => {
  it('is a number for every check that measures, with whose number it is', () => {
    const measuring = SIGNS.filter(({ how }) => how !== undefined && MEASURES.test(how));
    // These are compared with the other side, with a new piece or the record of the pattern.
    const without = measuring.filter(({ id }) => heldAgainst(id, FIGURES, null).limit === '');
    expect(measuring.length).toBeGreaterThan(6);
    expect(without.map(({ id }) => id).sort()).toEqual([
      'arm-differs-from-other-side',
      'bow-spacing-off',
      'cable-end-frayed',
      'corners-reach-apart',
      'elastic-weaker-than-new',
      'ram-gives-way',
    ]);
    const limits = measuring
      .map(({ id }) => heldAgainst(id, FIGURES, null).limit)
      .filter((limit) => limit !== '');
    for (const limit of limits) {
      expect(limit).toMatch(/\d.*\((?:shop rule|one maker's .*)\)\.$/);
    }
  });

  it('follows the figures of the organisation', () => {
    const own = {
      ...FIGURES,
      frame: figuresFor('frame', { 'frame.swayPlanOver': 11, 'frame.swayActOver': 20 }),
    };
    expect(heldAgainst('sway-over-limit', FIGURES, null).limit).toContain('Over 10 mm');
    expect(heldAgainst('sway-over-limit', own, null).limit).toMatch(/Over 11 mm .* over 20 mm/);
  });

  it('tells what was read last on the car, and where nothing was', () => {
    const last = (sign: string, measures: Partial<LastMeasures>) =>
      heldAgainst(sign, FIGURES, { ...NOTHING, ...measures }).last;
    const frame = [
      { doneOn: '2025-06-10', swayMm: 4, diagonalsMm: { left: 1200, right: 1201.3 } },
      { doneOn: '2026-03-02', swayMm: 9 },
    ];
    expect(last('sway-over-limit', { frame })).toEqual({
      kind: 'measured',
      unit: 'mm',
      last: { value: 9, on: '2026-03-02' },
      first: { value: 4, on: '2025-06-10' },
    });
    expect(last('diagonals-differ', { frame })).toEqual({
      kind: 'measured',
      unit: 'mm',
      last: { value: 1.3, on: '2025-06-10' },
      first: null,
    });
    expect(last('joint-stiff-by-hand', { frame })).toEqual({ kind: 'not-measured' });
    const joints = [
      joint('L-MAIN', { washersPresent: 1, radialPlayMm: 0.3 }),
      joint('R-MAIN', { washersPresent: 2, radialPlayMm: 0.6 }),
    ];
    expect(last('washer-count-short', { joints })).toEqual({
      kind: 'short',
      joints: [{ code: 'L-MAIN', present: 1, expected: 2, on: '2026-03-02' }],
    });
    expect(last('washer-count-short', { joints: joints.slice(1) })).toEqual({
      kind: 'none-short',
      on: '2026-03-02',
    });
    expect(last('play-differs-by-direction', { joints })).toEqual({
      kind: 'most',
      code: 'R-MAIN',
      mm: 0.6,
      on: '2026-03-02',
    });
    expect(heldAgainst('play-differs-by-direction', FIGURES, null).last).toBeNull();
  });

  it('is nothing for what is only looked at', () => {
    expect(heldAgainst('cover-feels-mushy', FIGURES, NOTHING)).toEqual({ limit: '', last: null });
    expect(heldAgainst('constructor', FIGURES, NOTHING)).toEqual({ limit: '', last: null });
  });
});
