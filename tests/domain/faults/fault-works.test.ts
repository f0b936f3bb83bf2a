import { expect, it } from 'vitest';
import { cautionsFor } from '../../../src/domain/cautions/cautions.ts';
import { FAULTS } from '../../../src/domain/faults/fault-rows.ts';
import { worksOf } from '../../../src/domain/faults/fault-works.ts';

it('knows the work, and so the cautions, that every fault leads to', () => {
  const without = FAULTS.filter(({ id }) => cautionsFor(...worksOf([id])).cautions.length === 0);
  expect(without).toEqual([]);
});

it('names each kind of work once, and hydraulics where a ram is at fault', () => {
  const works = worksOf(['hydraulics-slow', 'frame-twisted', 'hydraulics-slow', 'no such fault']);
  expect(new Set(works).size).toBe(works.length);
  expect(works).toEqual(expect.arrayContaining(['hydraulics', 'springs']));
});
