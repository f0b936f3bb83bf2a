import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { FRAME_FIGURES } from '../../../src/domain/frame/frame-figures.ts';
import { leverOf, swayShare } from '../../../src/domain/frame/sway-share.ts';
import type { JointGap } from '../../../src/domain/frame/sway-share.ts';
import { PIVOT_KINDS } from '../../../src/domain/pivots/frame-patterns.ts';

function shared(gaps: readonly JointGap[], swayMm: number) {
  const share = swayShare({ gaps, swayMm });
  if ('refused' in share) throw new Error(share.refused);
  return share;
}

function joint(pivot: string, gapMm: number, leverMm = 900, washerFaceMm = 25): JointGap {
  return { pivot, gapMm, leverMm, washerFaceMm };
}

describe('which joint explains the sway', () => {
  // Plain geometry, S = L × g / w, worked by hand: 900 × 0.3 / 25 = 10.8 and 900 × 1.6 / 25 = 57.6.
  it.each([
    [0.3, 10.8],
    [1.6, 57.6],
  ])('a gap of %f mm gives at most %f mm', (gapMm, upperMm) => {
    const share = shared([joint('L-LINK1', gapMm)], 100);
    expect(share.joints[0]?.upperMm).toBeCloseTo(upperMm, 12);
    expect(share.joints[0]?.share).toBeCloseTo(upperMm / 100, 12);
    expect(share.unexplainedMm).toBeCloseTo(100 - upperMm, 12);
  });

  it('scales down what adds up to more than was measured', () => {
    const share = shared([joint('L-LINK1', 0.1), joint('L-MAIN', 0.3)], 7.2);
    expect(share.joints.map(({ pivot }) => pivot)).toEqual(['L-MAIN', 'L-LINK1']);
    expect(share.joints.map((each) => each.share)).toEqual([
      expect.closeTo(0.75, 12),
      expect.closeTo(0.25, 12),
    ]);
    expect(share.joints[0]?.explainsMm).toBeCloseTo(5.4, 12);
    expect(share.unexplainedMm).toBe(0);
  });

  it('leaves all unexplained where no gap was measured', () => {
    expect(shared([], 8)).toEqual({ joints: [], explainedMm: 0, unexplainedMm: 8 });
  });

  it('explains nothing of no sway', () => {
    const { joints, explainedMm, unexplainedMm } = shared([joint('L-MAIN', 0.3)], 0);
    expect(joints[0]).toMatchObject({ explainsMm: 0, share: 0 });
    expect([explainedMm, unexplainedMm]).toEqual([0, 0]);
  });

  it.each([
    [[joint('L-MAIN', NaN)], 5, 'L-MAIN'],
    [[joint('L-MAIN', -0.1)], 5, 'L-MAIN'],
    [[joint('L-MAIN', 0.1, Infinity)], 5, 'L-MAIN'],
    [[joint('L-MAIN', 0.1, 900, 0)], 5, 'washer face'],
    [[], -1, 'sway'],
    [[], NaN, 'sway'],
  ])('refuses impossible measures, %#', (gaps, swayMm, reason) => {
    expect(swayShare({ gaps, swayMm })).toEqual({ refused: expect.stringContaining(reason) });
  });

  it('adds up to the sway and never exceeds a bound', () => {
    const mm = fc.double({ min: 0, max: 3, noNaN: true });
    const sway = fc.double({ min: 0.1, max: 60, noNaN: true });
    fc.assert(
      fc.property(fc.array(mm, { maxLength: 8 }), sway, (gaps, swayMm) => {
        const { joints, explainedMm, unexplainedMm } = shared(
          gaps.map((gapMm, i) => joint(`L-LINK${i + 1}`, gapMm)),
          swayMm,
        );
        expect(explainedMm + unexplainedMm).toBeCloseTo(swayMm, 9);
        const sum = joints.reduce((total, each) => total + each.explainsMm, 0);
        expect(sum).toBeCloseTo(explainedMm, 9);
        for (const each of joints) expect(each.explainsMm).toBeLessThanOrEqual(each.upperMm);
      }),
    );
  });

  // Joints sit 600 to 1100 mm behind the header (from memory), its own hinge apart.
  it('has a usual lever for every joint that side load goes through', () => {
    const figures = valuesOf(FRAME_FIGURES);
    const levers = PIVOT_KINDS.map((kind) => leverOf(kind, figures));
    expect(levers).toEqual([1100, 900, 600, 600, 100, null, null, null, null]);
  });
});
