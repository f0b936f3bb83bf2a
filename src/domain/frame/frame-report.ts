import type { Day } from '../calendar/day.ts';
import { valuesOf } from '../figures/figure.ts';
import { pivotInWords } from '../pivots/frame-patterns.ts';
import type { PivotKind } from '../pivots/frame-patterns.ts';
import { VERDICTS, worstOf } from '../pivots/state.ts';
import type { Verdict } from '../pivots/state.ts';
import { FRAME_FIGURES } from './frame-figures.ts';
import type { FrameFigures } from './frame-figures.ts';
import {
  readingsOf,
  judgeBreakaway,
  judgeDiagonals,
  judgeSway,
  laggingSide,
} from './frame-readings.ts';
import type { FrameReading, Judged } from './frame-readings.ts';
import { leverOf, swayShare } from './sway-share.ts';
import type { SwayShare } from './sway-share.ts';
import { tellTwist } from './twist.ts';
import type { Twist } from './twist.ts';

/** The last axial gap at one pivot since its repair; geometry where the shop knows it better. */
export interface PivotGap {
  readonly pivot: string;
  readonly kind: PivotKind;
  readonly gapMm: number;
  readonly leverMm?: number | undefined;
  readonly washerFaceMm?: number | undefined;
}

export interface FrameReport {
  /** Null where nothing was measured: then nobody can say that it is good. */
  readonly verdict: Verdict | null;
  /** One line a reading, the worst first, then what the readings together tell. */
  readonly because: readonly string[];
  readonly sway: Judged | null;
  /** `value` is the difference in mm. */
  readonly diagonals: Judged | null;
  readonly breakaway: Judged | null;
  /** Null where no sway was measured. */
  readonly share: SwayShare | null;
  readonly twist: Twist;
  /** What was not measured (since the last repair), in words. */
  readonly missing: readonly string[];
}

/**
 * What the readings of the whole frame say on a day: sway, diagonals and breakaway force judged
 * against their limits and against the car's own first readings since the top was fitted, the
 * joints that explain the sway, and whether the frame is loose or twisted. Throws RangeError on
 * impossible readings.
 */
export function frameReport(input: {
  readonly fittedOn: Day;
  readonly today: Day;
  /** Last repair of any joint that carries the frame. */
  readonly repairedOn?: Day | null | undefined;
  readonly readings: readonly FrameReading[];
  readonly gaps: readonly PivotGap[];
  /** Every joint of the frame; absent where `gaps` has them all. */
  readonly joints?: readonly Pick<PivotGap, 'pivot' | 'kind'>[] | undefined;
  readonly figures?: FrameFigures | undefined;
}): FrameReport {
  const { fittedOn, today, figures = valuesOf(FRAME_FIGURES) } = input;
  const readings = readingsOf(input.readings, fittedOn, today, input.repairedOn ?? null);
  const sway = judgeSway(readings, figures);
  const diagonals = judgeDiagonals(readings, figures);
  const breakaway = judgeBreakaway(readings, figures);
  const lagging = laggingSide(readings);
  const share = sway === null ? null : explain(input.gaps, sway.value, figures);
  const twist = tellTwist(sway?.value ?? null, diagonals?.value ?? null, share, figures);
  const signs: Pick<Judged, 'verdict' | 'because'>[] = [sway, diagonals, breakaway, lagging].filter(
    (judged) => judged !== null,
  );
  signs.sort((a, b) => VERDICTS.indexOf(b.verdict) - VERDICTS.indexOf(a.verdict));
  const missing = [
    ...(sway === null ? ['sway at the header'] : []),
    ...(diagonals === null ? ['the two diagonals'] : []),
    ...(breakaway === null ? ['breakaway force'] : []),
  ];
  return {
    verdict: signs.length === 0 ? null : worstOf(...signs.map(({ verdict }) => verdict)),
    because: [
      ...signs.map(({ because }) => because),
      ...(share === null ? [] : shareInWords(share, notMeasured(input, figures), figures)),
      ...(twist.because === null ? [] : [twist.because]),
    ],
    sway,
    diagonals,
    breakaway,
    share,
    twist,
    missing,
  };
}

function explain(gaps: readonly PivotGap[], swayMm: number, figures: FrameFigures): SwayShare {
  const joints = gaps.flatMap(({ pivot, kind, gapMm, leverMm, washerFaceMm }) => {
    const lever = leverMm ?? leverOf(kind, figures);
    if (lever === null) return [];
    const face = washerFaceMm ?? figures.washerFaceMm;
    return [{ pivot, gapMm, healthyMm: figures.healthyGapMm, leverMm: lever, washerFaceMm: face }];
  });
  const share = swayShare({ gaps: joints, swayMm });
  if ('refused' in share) throw new RangeError(share.refused);
  return share;
}

/** How many joints that carry a side load have no gap measured. */
function notMeasured(
  { joints = [], gaps }: Pick<Parameters<typeof frameReport>[0], 'joints' | 'gaps'>,
  figures: FrameFigures,
): number {
  const measured = new Set(gaps.map(({ pivot }) => pivot));
  return joints.filter(({ pivot, kind }) => leverOf(kind, figures) !== null && !measured.has(pivot))
    .length;
}

/** The joints that matter: three at most, and none that explains under a twentieth. */
function shareInWords(
  { joints, unexplainedMm, explainedMm }: SwayShare,
  others: number,
  figures: FrameFigures,
): string[] {
  const measured = joints.length > 0 || others > 0;
  const left =
    measured && unexplainedMm > figures.unexplainedOverMm
      ? [leftInWords(unexplainedMm, others)]
      : [];
  const named = joints
    .filter(({ share }) => share >= 0.05)
    .slice(0, 3)
    .map(({ pivot, share }) => `${pivotInWords(pivot)} ${Math.round(share * 100)} %`);
  if (named.length === 0) return left;
  const rest = unexplainedMm >= 0.5 ? `; ${unexplainedMm.toFixed(1)} mm unexplained` : '';
  const total = `${explainedMm.toFixed(1)} mm of the sway at most`;
  return [`gaps explain ${total}: ${named.join(', ')}${rest}`, ...left];
}

/** An arm is not to be suspected while a joint that nobody measured may be the cause. */
function leftInWords(mm: number, others: number): string {
  const sway = `${mm.toFixed(1)} mm of the sway is explained by no joint`;
  const suspects = 'look for a cracked arm or a slipped bracket';
  if (others === 0) return `${sway}: ${suspects}`;
  const rest = others === 1 ? 'the one other joint' : `the ${others} other joints`;
  return `${sway} that was measured: measure ${rest} first, then ${suspects}`;
}
