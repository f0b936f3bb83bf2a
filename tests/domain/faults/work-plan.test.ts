import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FAULTS } from '../../../src/domain/faults/fault-rows.ts';
import { workPlan } from '../../../src/domain/faults/work-plan.ts';
import { FAULT_WORK, STAGES } from '../../../src/domain/faults/work-rows.ts';
import { answer } from './answers.ts';
import { runs } from '../../setup/runs.ts';

const proofOf = (id: string) => FAULTS.find((fault) => fault.id === id)?.proof ?? '';
const planOf = (ids: readonly string[], known: Parameters<typeof workPlan>[1] = {}) =>
  workPlan(answer(ids.map(proofOf)).remedies, known);
const faultsIn = ({ steps }: ReturnType<typeof workPlan>) => steps.map(({ fault }) => fault);

describe('the rows of work', () => {
  test('are one a fault, in the order of the stages', () => {
    expect(FAULT_WORK.map(({ fault }) => fault).toSorted()).toEqual(
      FAULTS.map(({ id }) => id).toSorted(),
    );
    const stages = FAULT_WORK.map(({ stage }) => STAGES.indexOf(stage));
    expect(stages).toEqual(stages.toSorted((a, b) => a - b));
  });
});

describe('a work plan', () => {
  test('goes from the frame over the cloth to the cables', () => {
    // "Find the frame fault before blaming the cloth, and the cloth fault before selling the cable":
    // common practice of the trade, published in a magazine series and a book on restoring tops.
    const plan = planOf([
      'tension-cable-broken',
      'cover-shrunk',
      'frame-twisted',
      'latch-out-of-set',
    ]);
    expect(faultsIn(plan)).toEqual([
      'frame-twisted',
      'cover-shrunk',
      'tension-cable-broken',
      'latch-out-of-set',
    ]);
  });

  test('takes the cover off once, however much lies under it', () => {
    // Shop rules: 4 h to strip, 2 h padding, 1.5 h bows, 10 h cover.
    expect(planOf(['padding-decayed'])).toMatchObject({ strippingHours: 4, hours: 6 });
    expect(planOf(['padding-decayed', 'bows-out-of-place'])).toMatchObject({ hours: 7.5 });
    expect(planOf(['cover-shrunk', 'padding-decayed'])).toMatchObject({ hours: 16 });
    expect(planOf(['salt-crust'])).toMatchObject({ strippingHours: 0, hours: 0.5 });
  });

  test('does not mend what a new cover brings, and says that it is cured', () => {
    const plan = planOf(['stitches-rotted', 'cover-shrunk', 'coating-porous', 'washers-missing']);
    expect(faultsIn(plan)).toEqual(['washers-missing', 'cover-shrunk']);
    expect(plan.steps[1]?.also.map(({ name }) => name)).toEqual([
      'porous coating',
      'rotted stitching',
    ]);
    expect(plan.parts.map(({ part }) => part)).toEqual(['washer-pair', 'cover']);
  });

  test('renews a porous vinyl cover and proofs a cloth one', () => {
    const vinyl = planOf(['coating-porous'], { top: { material: 'vinyl' } });
    expect(vinyl).toMatchObject({ hours: 14, parts: [{ part: 'cover' }] });
    const cloth = planOf(['coating-porous'], { top: { material: 'cloth' } });
    expect(cloth).toMatchObject({ hours: 1.5, parts: [{ part: 'proofer' }] });
  });

  test('counts joint by joint, with the set that each takes', () => {
    const joints = {
      'pivot-seized': [
        { code: 'L-MAIN', kind: 'main' },
        { code: 'L-LINK1', kind: 'link' },
        { code: 'R-LINK1', kind: 'link' },
      ],
    } as const;
    expect(planOf(['pivot-seized'])).toMatchObject({ hours: 3, parts: [{ part: null }] });
    expect(planOf(['pivot-seized'], { joints })).toMatchObject({
      hours: 9,
      parts: [
        { part: 'main-set', quantity: 1 },
        { part: 'link-set', quantity: 2 },
      ],
    });
  });

  test('adds up: hours and parts are those of its steps, whatever was found', () => {
    fc.assert(
      fc.property(
        fc.subarray(
          FAULTS.map(({ id }) => id),
          { minLength: 1 },
        ),
        (ids) => {
          const plan = planOf(ids);
          const sum = plan.steps.reduce((hours, step) => hours + step.hours, plan.strippingHours);
          expect(plan.hours).toBeCloseTo(sum, 9);
          const order = plan.steps.map(({ stage }) => STAGES.indexOf(stage));
          expect(order).toEqual(order.toSorted((a, b) => a - b));
          const named = plan.steps.flatMap(({ fault, also }) => [
            fault,
            ...also.map((one) => one.fault),
          ]);
          expect(named).toHaveLength(ids.length);
          expect(plan.cautions.length).toBeGreaterThan(0);
        },
      ),
      { numRuns: runs(100) },
    );
  });
});
