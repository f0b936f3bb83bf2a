import type { FigureTable } from '../figures/figure.ts';

const LADDER = 'nobody counted it; a rung of the ladder of likelihoods';

/** The numbers behind fault finding. Nobody published any of them. */
export const FAULT_FIGURES = {
  almostAlways: rung(0.95),
  mostly: rung(0.8),
  often: rung(0.6),
  sometimes: rung(0.3),
  seldom: rung(0.1),
  hardlyEver: rung(0.05),
  unrelated: {
    value: 0.0025,
    unit: 'probability',
    mark: 'shop rule',
    source:
      'chance to see a sign that the fault does not cause; set so that crumbs on the rear shelf ' +
      'mean decayed padding nine times in ten, as the trade says (common practice)',
    min: 0.0001,
    max: 0.05,
  },
  ownFindingsNeeded: {
    value: 20,
    unit: 'findings',
    mark: 'shop rule',
    source: "findings of the organisation's own from which their shares replace equal chances",
    min: 20,
    max: 1000,
  },
  listedShare: {
    value: 0.05,
    unit: 'share of the leading chance',
    mark: 'shop rule',
    source: 'causes less likely than this share of the leading one are not listed',
    min: 0,
    max: 0.5,
  },
  leadingShare: {
    value: 0.5,
    unit: 'share of the leading chance',
    mark: 'shop rule',
    source: 'causes from this share on count as leading: their prohibitions are shown too',
    min: 0.1,
    max: 1,
  },
  leastGainBits: {
    value: 0.01,
    unit: 'bits',
    mark: 'shop rule',
    source: 'a check that tells less is not worth the walk',
    min: 0,
    max: 1,
  },
} as const satisfies FigureTable;

/** How likely a sign is, given the fault: a rung of the ladder, by its name in the table. */
export type Likelihood =
  | 'almostAlways'
  | 'mostly'
  | 'often'
  | 'sometimes'
  | 'seldom'
  | 'hardlyEver';

function rung(value: number) {
  return {
    value,
    unit: 'probability',
    mark: 'shop rule',
    source: LADDER,
    min: 0.01,
    max: 0.99,
  } as const;
}
