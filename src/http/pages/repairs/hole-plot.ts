import type { RepairSetRecord } from '../../../usecases/workshop/hardware-sheets.ts';
import { tenth } from '../frame/plot.ts';

const MIDDLE = 110;
const REACH = 92;

/** A worn hole seen along its pin, to scale, in the units of a field of 220 × 220. */
export interface HolePlot {
  /** Half of the hole across and up, as it was measured. */
  readonly across: string;
  readonly up: string;
  readonly pin: string;
  /** Outside of the bush, which is where the hole is reamed to; empty where none fits. */
  readonly bush: string;
  /** Lines along the edges of the leaf, where its width was measured; else empty. */
  readonly leaf: string;
}

/** What was measured, and what is made of it. */
export interface HoleDrawn {
  readonly diametersMm: readonly [number, number];
  readonly leafWidthMm: number | undefined;
  readonly pinMm: number;
  readonly repair: RepairSetRecord['holeRepair'];
}

/** Draws the pin in the middle of its hole, the bush round both, and the leaf as wide as it is. */
export function holePlot({ diametersMm, leafWidthMm, pinMm, repair }: HoleDrawn): HolePlot {
  const bushMm = repair?.how === 'bush' ? repair.outsideMm : null;
  const widest = Math.max(...diametersMm, bushMm ?? 0, leafWidthMm ?? 0);
  const radius = (mm: number) => tenth((mm / 2 / (widest / 2)) * REACH);
  const edge = leafWidthMm === undefined ? null : Number(radius(leafWidthMm));
  return {
    across: radius(diametersMm[0]),
    up: radius(diametersMm[1]),
    pin: radius(pinMm),
    bush: bushMm === null ? '' : radius(bushMm),
    leaf: edge === null ? '' : `M0 ${MIDDLE - edge}H220M0 ${MIDDLE + edge}H220`,
  };
}
