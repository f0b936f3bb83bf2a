import type { PivotKind } from '../pivots/frame-patterns.ts';
import type { FrameFigures } from './frame-figures.ts';

/** One joint with an axial gap, as the geometry of sway wants it. All in mm. */
export interface JointGap {
  readonly pivot: string;
  readonly gapMm: number;
  /** The gap up to which the joint is as it should be; that much explains no sway. */
  readonly healthyMm?: number | undefined;
  /** From the joint to the header. */
  readonly leverMm: number;
  /** Width of the washer's face across the joint. */
  readonly washerFaceMm: number;
}

export interface JointShare {
  readonly pivot: string;
  /** The most sway that the gap beyond its healthy play could give: lever × gap ÷ washer face. */
  readonly upperMm: number;
  readonly explainsMm: number;
  /** Of the sway measured, 0 to 1. */
  readonly share: number;
}

export interface SwayShare {
  /** The joint that explains most comes first. */
  readonly joints: readonly JointShare[];
  readonly explainedMm: number;
  readonly unexplainedMm: number;
}

/**
 * Which joint's gap explains how much of the sway. Plain geometry: a gap g across a face w lets the
 * arm lean by g / w, which is L × g / w at the header; a healthy gap explains nothing, so a cracked arm
 * or a slipped bracket stays unexplained. The cross sticks tie the two sides together,
 * so each figure is an upper bound; where they add up to more than was measured they are scaled
 * down in proportion, and where to less, the rest stays unexplained. Refused where a measure is
 * impossible.
 */
export function swayShare(input: {
  readonly gaps: readonly JointGap[];
  readonly swayMm: number;
}): SwayShare | { readonly refused: string } {
  const { gaps, swayMm } = input;
  if (!notNegative(swayMm))
    return { refused: 'the sway must be a number of millimetres from 0 up' };
  const bad = gaps.find((gap) => !notNegative(gap.gapMm) || !notNegative(gap.leverMm));
  if (bad) return { refused: `${bad.pivot}: gap and lever must be millimetres from 0 up` };
  const flat = gaps.find(({ washerFaceMm }) => !(notNegative(washerFaceMm) && washerFaceMm > 0));
  if (flat) return { refused: `${flat.pivot}: the washer face must be wider than 0 mm` };
  const bounds = gaps.map(({ pivot, gapMm, healthyMm = 0, leverMm, washerFaceMm }) => ({
    pivot,
    upperMm: (leverMm * Math.max(0, gapMm - healthyMm)) / washerFaceMm,
  }));
  const sum = bounds.reduce((total, { upperMm }) => total + upperMm, 0);
  const scale = sum > swayMm ? swayMm / sum : 1;
  const joints = bounds
    .map(({ pivot, upperMm }) => {
      const explainsMm = upperMm * scale;
      return { pivot, upperMm, explainsMm, share: swayMm > 0 ? explainsMm / swayMm : 0 };
    })
    .sort((a, b) => b.upperMm - a.upperMm || (a.pivot < b.pivot ? -1 : 1));
  const explainedMm = Math.min(sum, swayMm);
  return { joints, explainedMm, unexplainedMm: swayMm - explainedMm };
}

const LEVERS: Readonly<Record<PivotKind, keyof FrameFigures | null>> = {
  main: 'leverMain',
  link: 'leverLink',
  knuckle: 'leverKnuckle',
  stick: 'leverStick',
  'header-hinge': 'leverHeaderHinge',
  'rear-bow': null,
  latch: null,
  'spring-end': null,
  ram: null,
};

/**
 * The usual lever of a kind of joint, in mm; null for joints that no side load goes through
 * (latches, springs, rams, the rear bow), whose gap explains no sway.
 */
export function leverOf(kind: PivotKind, figures: FrameFigures): number | null {
  const name = LEVERS[kind];
  return name === null ? null : figures[name];
}

function notNegative(mm: number): boolean {
  return mm >= 0 && Number.isFinite(mm);
}
