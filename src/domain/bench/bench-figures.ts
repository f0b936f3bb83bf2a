import type { FigureTable } from '../figures/figure.ts';

const DIARY = 'own proposal for the diary of a small shop, no source';
const YEARLY = 'sum of the steps of a yearly visit as worked by hand, from memory';

/** Numbers of the bench. Nobody published the minutes of such visits: a shop learns its own. */
export const BENCH_FIGURES = {
  minutesPerDay: {
    value: 480,
    unit: 'min',
    mark: 'shop rule',
    source: DIARY,
    min: 30,
    max: 4320,
  },
  slackSummerPct: {
    value: 15,
    unit: '% of the bench, May to August',
    mark: 'shop rule',
    source: 'upper end of the 10–15 % kept free for breakdowns in summer, from memory',
    min: 0,
    max: 60,
  },
  slackElsePct: {
    value: 5,
    unit: '% of the bench, September to April',
    mark: 'shop rule',
    source: DIARY,
    min: 0,
    max: 60,
  },
  lubricationMinutes: {
    value: 105,
    unit: 'min',
    mark: 'shop rule',
    source: YEARLY,
    min: 15,
    max: 960,
  },
  lubricationPoweredMinutes: {
    value: 120,
    unit: 'min',
    mark: 'shop rule',
    source: `${YEARLY}, with 15 min for the hydraulics`,
    min: 15,
    max: 960,
  },
  settlingMinutes: { value: 30, unit: 'min', mark: 'shop rule', source: DIARY, min: 5, max: 960 },
  lookMinutes: { value: 30, unit: 'min', mark: 'shop rule', source: DIARY, min: 5, max: 960 },
  repairMinutes: { value: 240, unit: 'min', mark: 'shop rule', source: DIARY, min: 15, max: 4800 },
  priorVisits: {
    value: 5,
    unit: 'visits that the figure above counts for against own visits',
    mark: 'shop rule',
    source: DIARY,
    min: 0,
    max: 50,
  },
  sameVisitDays: {
    value: 28,
    unit: 'days ahead in which a booking of its kind is closed by a visit that took place',
    mark: 'shop rule',
    source: DIARY,
    min: 0,
    max: 120,
  },
  weeksOffered: {
    value: 3,
    unit: 'weeks offered to an owner',
    mark: 'shop rule',
    source: 'three slots to choose from, from memory',
    min: 1,
    max: 6,
  },
  leadDays: {
    value: 3,
    unit: 'working days between the choice of a day and the day',
    mark: 'shop rule',
    source: DIARY,
    min: 0,
    max: 30,
  },
  changeDays: {
    value: 2,
    unit: 'working days before a visit until which its owner may move or cancel it',
    mark: 'shop rule',
    source: DIARY,
    min: 0,
    max: 30,
  },
  leastLeftMinutes: {
    value: 120,
    unit: 'min that must be left of a day for it to count as open',
    mark: 'shop rule',
    source: DIARY,
    min: 0,
    max: 720,
  },
} as const satisfies FigureTable;

/** Length of a place on the bench, in minutes: the unit in which weeks and visits are counted. */
export const PLACE_MINUTES = 30;
