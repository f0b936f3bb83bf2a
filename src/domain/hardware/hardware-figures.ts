import type { FigureTable } from '../figures/figure.ts';

/** Figures for repairing a joint. A shop sets its own torque: published ones differ by half. */
export const HARDWARE_FIGURES = {
  spacerThinMm: {
    value: 1,
    unit: 'mm',
    mark: 'shop rule',
    source: 'thinnest nylon or acetal spacer that is stocked; from memory',
    min: 0.5,
    max: 3,
  },
  spacerThickMm: {
    value: 1.6,
    unit: 'mm',
    mark: 'shop rule',
    source: 'thickest nylon or acetal spacer that is stocked; from memory',
    min: 0.5,
    max: 4,
  },
  insertColdestC: {
    value: -50,
    unit: '°C',
    mark: 'published, secondary copy',
    source: 'ISO 2320, nuts with a non-metallic insert',
  },
  insertHottestC: {
    value: 120,
    unit: '°C',
    mark: 'published, secondary copy',
    source: 'ISO 2320, nuts with a non-metallic insert',
  },
  lookAgainWeeks: {
    value: 6,
    unit: 'weeks',
    mark: 'shop rule',
    source: 'look again four to eight weeks after a joint was freed or bolted',
    min: 1,
    max: 26,
  },
} as const satisfies FigureTable;
