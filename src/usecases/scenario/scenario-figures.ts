import type { Figure, FigureTable } from '../../domain/figures/figure.ts';
import { valuesOf } from '../../domain/figures/figure.ts';

const fromMemory = (value: number, unit: string, source: string): Figure => ({
  value,
  unit,
  mark: 'from memory',
  source,
});

/** Numbers that make the invented readings of the demo look like a workshop's. None decides anything. */
const SCENARIO_FIGURES = {
  axialNewLeast: fromMemory(0.05, 'mm', 'gap of a joint with fresh washers'),
  axialNewMost: fromMemory(0.13, 'mm', 'gap of a joint with fresh washers'),
  axialPerYearLeast: fromMemory(0.008, 'mm/a', 'wear of an oiled joint'),
  axialPerYearMost: fromMemory(0.03, 'mm/a', 'wear of an oiled joint'),
  axialPerLostWasher: fromMemory(1.1, 'mm', 'a spacer is 1.0 to 1.6 mm thick'),
  axialRepeatability: fromMemory(0.05, 'mm', 'feeler blades'),
  radialNew: fromMemory(0.1, 'mm', 'play of a sound pin'),
  radialPerYear: fromMemory(0.015, 'mm/a', 'wear of an oiled pin'),
  radialRepeatability: fromMemory(0.07, 'mm', 'dial gauge, 0.05 to 0.1 mm'),
  swayNew: fromMemory(3, 'mm', 'a sound frame sways 5 mm at most'),
  swayPerYear: fromMemory(0.25, 'mm/a', 'slow growth of a frame in use'),
  swayPerLostWasher: fromMemory(
    4,
    'mm',
    'far below length × gap / width, since sticks couple sides',
  ),
  rulerRepeatability: fromMemory(2, 'mm', 'steel rule and tape'),
  diagonal: fromMemory(1220, 'mm', 'header corner to the bracket of the other side'),
  breakawayNew: fromMemory(70, 'N', 'spring balance at the header'),
  breakawayRepeatability: fromMemory(0.1, 'share', 'spring balance'),
  dryShare: fromMemory(0.1, 'share', 'pivots that have run dry by the yearly visit'),
  dryShareInSalt: fromMemory(0.3, 'share', 'the same, near the sea or on salted roads'),
} as const satisfies FigureTable;

export const SCENARIO = valuesOf(SCENARIO_FIGURES);
