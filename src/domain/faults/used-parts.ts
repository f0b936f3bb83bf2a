import type { Part } from '../parts/kits.ts';
import type { PivotKind } from '../pivots/frame-patterns.ts';
import { orderedParts } from './ordered-parts.ts';
import { partFor } from './work-plan.ts';

/** What a visit did, as far as it takes parts. */
export interface DoneWork {
  readonly material: string;
  /** Joints that were repaired on it. */
  readonly repaired: readonly { readonly code: string; readonly kind: PivotKind }[];
  /** Findings of it that are said to be done. */
  readonly done: readonly {
    readonly fault: string | null;
    readonly pivot: { readonly code: string; readonly kind: PivotKind } | null;
  }[];
}

/**
 * What a visit is likely to have taken from the stock, for whoever counts it: the parts of the work that
 * was done, and one repair set for each repaired joint that no such work names. Common practice, no
 * source; what was really taken is said by hand.
 */
export function usedParts({ material, repaired, done }: DoneWork): Map<Part, number> {
  const sums = new Map<Part, number>();
  const add = (part: Part) => sums.set(part, (sums.get(part) ?? 0) + 1);
  for (const { fault, pivot } of done) {
    for (const part of orderedParts(fault ?? '', { kind: pivot?.kind ?? null, material }))
      add(part);
  }
  const named = new Set(done.map(({ pivot }) => pivot?.code));
  for (const { code, kind } of repaired) {
    const set = named.has(code) ? null : partFor('joint-set', kind);
    if (set !== null) add(set);
  }
  return sums;
}
