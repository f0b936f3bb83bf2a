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
    value: 0.0021,
    unit: 'probability',
    mark: 'shop rule',
    source:
      'chance to see a sign without any fault of the list; set so that crumbs on the rear shelf ' +
      'mean decayed padding nine times in ten, as the trade says (common practice)',
    min: 0.0001,
    max: 0.05,
  },
  usualShare: {
    value: 0.02,
    unit: 'probability',
    mark: 'shop rule',
    source:
      'chance of each fault on a top of which somebody complains, before anything is looked at',
    min: 0.001,
    max: 0.2,
  },
  ownFindingsNeeded: {
    value: 20,
    unit: 'visits',
    mark: 'shop rule',
    source: "visits that found something from which the organisation's own shares count",
    min: 20,
    max: 1000,
  },
  ownWeight: {
    value: 50,
    unit: 'visits',
    mark: 'shop rule',
    source: 'visits that found something at which the own share weighs as much as the usual one',
    min: 1,
    max: 1000,
  },
  listedFrom: share(
    0.05,
    'causes less likely than this are not in question and not listed',
    0.01,
    0.3,
  ),
  clearFrom: share(
    0.8,
    'a cause stands clear, and its remedy is named, from this chance on',
    0.6,
    0.99,
  ),
  mustNotFrom: share(
    0.25,
    'what must not be done is said from this chance of a cause on',
    0.05,
    0.8,
  ),
  stayFrom: share(
    0.3,
    'from this chance of a fault that forbids moving, no check is asked that moves the top',
    0.05,
    0.8,
  ),
  unexplainedFrom: share(0.5, 'a sign counts as not explained from this chance on', 0.1, 0.95),
  leastGainBits: {
    value: 0.05,
    unit: 'bits',
    mark: 'shop rule',
    source: 'a check that tells less is not worth the walk',
    min: 0,
    max: 1,
  },
  glanceMinutes: minutes(1, 'a look or a question'),
  handMinutes: minutes(3, 'a check with bare hands'),
  toolMinutes: minutes(8, 'a check for which tools are fetched'),
  waterMinutes: minutes(20, 'a check with the hose'),
  warmthMinutes: minutes(40, 'warming the top through'),
  standingMinutes: minutes(60, 'a car that takes a place for two days'),
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

function share(value: number, source: string, min: number, max: number) {
  return { value, unit: 'probability', mark: 'shop rule', source, min, max } as const;
}

function minutes(value: number, source: string) {
  return { value, unit: 'minutes', mark: 'shop rule', source, min: 1, max: 600 } as const;
}
