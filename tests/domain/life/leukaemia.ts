import type { Observation } from '../../../src/domain/life/observation.ts';

/**
 * Weeks of remission under 6-MP and under placebo: Freireich et al. 1963, Blood 21, 699-716,
 * published, secondary copy (the gehan data set of the lifelines package).
 */
export const SIX_MP: readonly Observation[] = [
  ...[6, 6, 6, 7, 10, 13, 16, 22, 23].map((time) => ({ time, event: true })),
  ...[6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35].map((time) => ({ time, event: false })),
];

export const PLACEBO: readonly Observation[] = [
  1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23,
].map((time) => ({ time, event: true }));
