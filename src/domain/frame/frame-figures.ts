import type { Figure, FigureTable, FigureValues } from '../figures/figure.ts';

const OWN =
  'nobody published a limit; chosen for four-seat frames, and two-seaters are judged by it too';
const LEVER = 'from memory: joints sit 600 to 1100 mm behind the header';

function rule(value: number, unit: string, min: number, max: number, source = OWN): Figure {
  return { value, unit, mark: 'shop rule', source, min, max };
}

/**
 * Figures that judge the frame as a whole, and the usual geometry of its joints. The bounds of the
 * limits of one reading meet but do not overlap, so they cannot be set out of order.
 */
export const FRAME_FIGURES = {
  swayWatchOver: rule(5, 'mm', 2, 7),
  swayPlanOver: rule(10, 'mm', 7, 12),
  swayActOver: rule(15, 'mm', 12, 40),
  swayActTimes: rule(2, 'times the first reading', 1.2, 5),
  swayRepeatability: rule(2, 'mm', 0.5, 5, 'from memory: a steel rule at the header, 50 N pull'),
  diagonalsWatchOver: rule(3, 'mm', 1, 4.5),
  diagonalsPlanOver: rule(6, 'mm', 4.5, 8),
  diagonalsActOver: rule(10, 'mm', 8, 30),
  breakawayWatchOver: rule(0.2, 'share above the first', 0.1, 0.3),
  breakawayPlanOver: rule(0.4, 'share above the first', 0.3, 0.55),
  breakawayActOver: rule(0.7, 'share above the first', 0.55, 2),
  breakawayFallWatchOver: rule(0.2, 'share below the first', 0.1, 0.3),
  breakawayFallPlanOver: rule(0.4, 'share below the first', 0.3, 0.55),
  breakawayFallActOver: rule(0.7, 'share below the first', 0.55, 0.95),
  healthyGapMm: rule(0.25, 'mm', 0, 0.4, 'the axial gap up to which a joint is good'),
  unexplainedOverMm: rule(
    5,
    'mm',
    1,
    20,
    'sway that no joint explains, from which an arm is looked at',
  ),
  washerFaceMm: rule(25, 'mm', 15, 40, 'from memory: washer faces are 20 to 28 mm wide'),
  leverMain: rule(1100, 'mm', 300, 2000, LEVER),
  leverLink: rule(900, 'mm', 300, 2000, LEVER),
  leverKnuckle: rule(600, 'mm', 100, 2000, LEVER),
  leverStick: rule(600, 'mm', 0, 2000, LEVER),
  leverHeaderHinge: rule(100, 'mm', 0, 500, 'a hinge at the header has almost no arm to sway on'),
} as const satisfies FigureTable;

export type FrameFigures = FigureValues<typeof FRAME_FIGURES>;
