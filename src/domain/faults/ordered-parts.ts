import type { Part } from '../parts/kits.ts';
import type { PivotKind } from '../pivots/frame-patterns.ts';
import { partFor } from './work-plan.ts';
import { FAULT_WORK } from './work-rows.ts';

/** What an owner orders by agreeing to work whose row names no part, or not only one for sure. */
const AGREED: Readonly<Record<string, Part>> = {
  'vinyl-hard': 'cover',
  'cover-worn-through': 'cover',
};

// Taken from the bench for many cars: an order of one car is not worth a line.
const BY_THE_BOTTLE: ReadonlySet<string> = new Set(['oil', 'proofer']);

/** The faults whose agreed work takes a part that is kept or bought. */
export const FAULTS_WITH_PARTS: readonly string[] = [
  ...Object.keys(AGREED),
  ...FAULT_WORK.flatMap(({ fault, parts }) =>
    parts.some((part) => !BY_THE_BOTTLE.has(part)) || fault === 'coating-porous' ? [fault] : [],
  ),
];

/**
 * The parts that agreed work on a fault takes: at the joint where it was found, and a cover for a vinyl
 * one that has gone porous. Empty while the joint is not known.
 */
export function orderedParts(
  fault: string,
  { kind, material }: { readonly kind: PivotKind | null; readonly material: string },
): Part[] {
  const agreed = AGREED[fault];
  if (agreed !== undefined) return [agreed];
  if (fault === 'coating-porous') return material === 'vinyl' ? ['cover'] : [];
  const work = FAULT_WORK.find((row) => row.fault === fault);
  return (work?.parts ?? []).flatMap((part) => {
    const known = BY_THE_BOTTLE.has(part) ? null : partFor(part, kind);
    return known === null ? [] : [known];
  });
}
