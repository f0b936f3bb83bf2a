import type { Figure, FigureTable, FigureValues } from '../figures/figure.ts';

const BETWEEN =
  'no maker publishes play limits for hand-folded frames; set between the wear limit one bearing ' +
  'maker gives for polymer bearings (0.25 mm) and the gap one car maker allows at a ram (1.6 mm)';

function limit(value: number, min: number, max: number, source = BETWEEN): Figure {
  return { value, unit: 'mm', mark: 'shop rule', source, min, max };
}

/**
 * Figures that judge and project the readings at a pivot. The bounds of the three limits of each
 * method meet but do not overlap, so no organisation can set them out of order.
 */
export const PIVOT_FIGURES = {
  axialWatchOver: limit(0.25, 0.05, 0.4),
  axialPlanOver: limit(0.5, 0.4, 0.9),
  axialActOver: limit(1, 0.9, 3),
  radialWatchOver: limit(0.25, 0.05, 0.4),
  radialPlanOver: limit(0.5, 0.4, 0.9),
  radialActOver: limit(1, 0.9, 3),
  askPlayOver: limit(
    5,
    3,
    50,
    'far past any limit to act: a slip of the decimal point is likelier, so it is asked about once',
  ),
  ramActOver: limit(
    1.6,
    0.5,
    3,
    "largest gap at a ram pivot in one car maker's service bulletin (0.064 to 0.065 in); taken " +
      'here for every make whose own figure is not known',
  ),
  washerThickness: limit(1.6, 0.5, 3, 'from memory: spacers are 1.0 to 1.6 mm thick'),
  axialRepeatability: limit(0.05, 0.01, 0.3, 'from memory: feeler blades repeat to 0.05 mm'),
  radialRepeatability: limit(
    0.1,
    0.01,
    0.3,
    'from memory: a dial gauge on a frame repeats to 0.05 to 0.1 mm; the wider is taken',
  ),
  wearRate: {
    value: 0.08,
    unit: 'mm a year',
    mark: 'shop rule',
    source: 'wear of the middle joint, believed until other cars of the pattern tell',
    min: 0.005,
    max: 1,
  },
  wearRateSpread: {
    value: 0.7,
    unit: 'log units',
    mark: 'shop rule',
    source: 'how far that belief may be off: 0.7 is a factor of 2 either way, two times in three',
    min: 0.1,
    max: 1.5,
  },
  wearPoolCars: {
    value: 40,
    unit: 'cars',
    mark: 'shop rule',
    source:
      'most cars of one frame pattern whose joints are pooled: those measured and longest in care',
    min: 10,
    max: 200,
  },
  leastReadings: {
    value: 2,
    unit: 'readings',
    mark: 'shop rule',
    source:
      'fewest readings by one method since the last repair before a day is named; with two it rests ' +
      'mostly on other cars or on the shop rule for wear, and says so',
    min: 2,
    max: 10,
  },
  noiseFloor: {
    value: 2,
    unit: 'repeatabilities',
    mark: 'shop rule',
    source: 'a smaller rise than this between first and last reading is not told from error',
    min: 1,
    max: 5,
  },
  confidence: {
    value: 0.95,
    unit: 'share',
    mark: 'shop rule',
    source: 'confidence of the interval of the slope; 95 % by custom',
    min: 0.5,
    max: 0.999,
  },
  horizonYears: {
    value: 30,
    unit: 'years',
    mark: 'shop rule',
    source: 'a day further ahead than this is not named',
    min: 1,
    max: 50,
  },
  remeasureShare: {
    value: 0.5,
    unit: 'share',
    mark: 'shop rule',
    source: 'share of the time to the likely day after which to measure again',
    min: 0.1,
    max: 1,
  },
  remeasureMonths: {
    value: 12,
    unit: 'months',
    mark: 'shop rule',
    source: 'longest time between two measurements of a pivot: the yearly look',
    min: 1,
    max: 24,
  },
  remeasureSoonMonths: {
    value: 6,
    unit: 'months',
    mark: 'shop rule',
    source: 'time to the next measurement where a limit may be met sooner than that',
    min: 1,
    max: 12,
  },
  washersActOnSide: {
    value: 2,
    unit: 'washers',
    mark: 'shop rule',
    source: 'missing washers on one side from which the frame should not be folded',
    min: 2,
    max: 6,
  },
} as const satisfies FigureTable;

export type PivotFigures = FigureValues<typeof PIVOT_FIGURES>;
