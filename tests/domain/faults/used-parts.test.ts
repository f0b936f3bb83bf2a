import { describe, expect, it } from 'vitest';
import { usedParts } from '../../../src/domain/faults/used-parts.ts';

const joint = (code: string, kind: 'main' | 'link') => ({ code, kind });

// Common practice, no source: one set for each joint that is repaired, by the kind of the joint.
describe('what a visit is likely to have taken', () => {
  it('is the parts of the work that was done', () => {
    const done = [
      { fault: 'pivot-sheared', pivot: joint('L-MAIN', 'main') },
      { fault: 'washers-missing', pivot: joint('R-LINK1', 'link') },
      { fault: 'tailgate-seal-missing', pivot: null },
    ];
    expect([...usedParts({ material: 'cloth', repaired: [], done })]).toEqual([
      ['main-set', 1],
      ['washer-pair', 1],
      ['tailgate-seal', 1],
    ]);
  });

  it('counts a repaired joint once, whether its reading or its finding says so', () => {
    const pivot = joint('L-MAIN', 'main');
    const repaired = [pivot, joint('R-LINK1', 'link')];
    const done = [{ fault: 'pivot-sheared', pivot }];
    expect([...usedParts({ material: 'cloth', repaired, done })]).toEqual([
      ['main-set', 1],
      ['link-set', 1],
    ]);
  });

  it('is nothing where nothing was done that takes parts', () => {
    const done = [{ fault: 'pivot-dry', pivot: null }];
    expect(usedParts({ material: 'cloth', repaired: [], done }).size).toBe(0);
  });
});
