import { describe, expect, test } from 'vitest';
import { FIRST_CAUTION } from '../../../src/domain/cautions/cautions.ts';
import {
  frameSet,
  type JointToRepair,
  repairSet,
} from '../../../src/domain/hardware/repair-set.ts';
import { FRAME_PATTERNS, PIVOT_KINDS } from '../../../src/domain/pivots/frame-patterns.ts';

const MAIN: JointToRepair = { kind: 'main', thread: 'M8', washersExpected: 2 };

function sizes(joint: JointToRepair) {
  return repairSet(joint).items.map((row) => `${row.quantity} × ${row.item}: ${row.size}`);
}

function jointCautions(kind: JointToRepair['kind']) {
  return repairSet({ kind, thread: 'M8', washersExpected: 2 }).cautions.map((row) => row.id);
}

function frameCautions(name: keyof typeof FRAME_PATTERNS) {
  return frameSet(FRAME_PATTERNS[name].pivots).cautions.map((row) => row.id);
}

function quantities(name: keyof typeof FRAME_PATTERNS) {
  const { parts } = frameSet(FRAME_PATTERNS[name].pivots);
  return Object.fromEntries(parts.map(({ part, quantity }) => [part, quantity]));
}

describe('the repair set of a pivot', () => {
  test('of a main pivot is a bolt, a new lock nut, steel washers and spacers', () => {
    // Sizes of ISO 7089 and ISO 4032 (published, secondary copies); spacer thickness from memory.
    expect(sizes(MAIN)).toEqual([
      expect.stringMatching(/^1 × bolt class 8\.8.*: M8$/),
      expect.stringMatching(/^1 × lock nut with nylon insert, new: M8, 13 mm across flats$/),
      expect.stringMatching(/^2 × plain steel washer.*: 8\.4 × 16 × 1\.6 mm$/),
      expect.stringMatching(/^2 × spacer of nylon.*: 8\.4 × 16 mm, 1 to 1\.6 mm thick/),
    ]);
  });

  test('of an M6 link has M6 sizes', () => {
    expect(sizes({ kind: 'link', thread: 'M6', washersExpected: 2 }).join()).toMatch(
      /M6, 10 mm across flats.*6\.4 × 12 × 1\.6 mm/,
    );
  });

  test('has a bush and reaming once the hole is worn', () => {
    const plan = repairSet({ ...MAIN, hole: { verdict: 'plan', largestMm: 8.7 } });
    expect(plan.items.at(-1)?.size).toContain('10 s6');
    expect(plan.items.at(-1)?.size).toContain('8 H8 mm inside');
    expect(plan.steps.join()).toMatch(/ream/);
    const act = repairSet({ ...MAIN, hole: { verdict: 'act', largestMm: 10.8 } });
    expect(act.items.at(-1)?.size).toContain('11 s6');
    const gone = repairSet({ ...MAIN, hole: { verdict: 'act', largestMm: 11.95 } });
    expect(gone.holeRepair?.how).toBe('weld');
    expect(gone.steps.join()).toMatch(/renew the leaf/);
    const unmeasured = repairSet({ ...MAIN, hole: { verdict: 'act', largestMm: null } });
    expect(unmeasured.steps.join()).toMatch(/Measure the hole across two directions/);
    expect(unmeasured.items).toEqual(repairSet(MAIN).items);
    expect(repairSet({ ...MAIN, hole: { verdict: 'watch', largestMm: 8.3 } })).toEqual(
      repairSet(MAIN),
    );
  });

  test('never clamps a moving joint', () => {
    expect(repairSet(MAIN).steps.join()).toMatch(/back it off until the arm falls by itself/);
  });

  test("of a ram, a spring or a latch is the maker's own part", () => {
    for (const kind of ['ram', 'spring-end', 'latch'] as const) {
      const { items } = repairSet({ kind, thread: 'M8', washersExpected: 0 });
      expect(items).toHaveLength(1);
      expect(items[0]?.item).toMatch(/the maker's own/);
    }
  });

  test('always comes with the cautions of its work, the handbook first', () => {
    for (const kind of PIVOT_KINDS) {
      expect(repairSet({ kind, thread: 'M8', washersExpected: 0 }).first).toBe(FIRST_CAUTION);
      expect(jointCautions(kind)).toContain('pinch-points');
    }
    expect(jointCautions('ram')).toContain('hydraulic-pressure');
    expect(jointCautions('spring-end')).toContain('tensioned-cables');
    expect(jointCautions('main')).not.toContain('hydraulic-pressure');
  });
});

describe('the set of a whole frame', () => {
  test('of a four-seater lies within the usual stock of a shop', () => {
    // Proposed, no source: 14-20 washer pairs, 2 main sets, 4-6 link sets, 2 header pins.
    const manual = quantities('four-seat-manual');
    expect(manual['washer-pair']).toBeGreaterThanOrEqual(14);
    expect(manual['washer-pair']).toBeLessThanOrEqual(20);
    expect(manual['main-set']).toBe(2);
    expect(manual['link-set']).toBe(4);
    expect(manual['header-pin']).toBe(2);
  });

  test('of a two-seater leaves out what it does not have', () => {
    expect(quantities('two-seat-manual')['header-pin']).toBeUndefined();
    expect(frameSet([]).parts).toEqual([]);
  });

  test('warns of hydraulics where there are rams only', () => {
    expect(frameCautions('four-seat-powered')).toContain('hydraulic-pressure');
    expect(frameCautions('four-seat-manual')).not.toContain('hydraulic-pressure');
    expect(frameSet([]).first).toBe(FIRST_CAUTION);
  });
});
