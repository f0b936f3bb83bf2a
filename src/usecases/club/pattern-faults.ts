import { faultOf } from '../../domain/faults/fault-rows.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { LookedAtCar, PatternFaults } from '../../domain/practice/pattern-faults.ts';
import { patternFaults } from '../../domain/practice/pattern-faults.ts';
import type { FoundOnCarRow } from '../../store/club/member-rows.ts';
import { foundOnCars } from '../../store/club/member-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';

/** The faults of each frame pattern on the cars of the caller's organisation; no car and nobody is named. */
export async function readPatternFaults(
  context: Context,
  caller: Caller,
): Promise<{ readonly patterns: readonly PatternFaults[]; readonly fewest: number }> {
  requireRight(caller, 'read-records');
  const { sql } = context.store;
  const own = await ownFiguresOf(sql, caller.organisationId);
  const values = figuresFor('practice', own);
  const cars = new Map<string, LookedAtCar & { readonly faults: Set<string> }>();
  for (const row of await foundOnCars(sql, caller.organisationId)) {
    const known = cars.get(row.carId) ?? { pattern: row.framePattern, faults: new Set<string>() };
    cars.set(row.carId, known);
    const words = wordsOf(row);
    if (words !== null) known.faults.add(words);
  }
  return { patterns: patternFaults([...cars.values()], values), fewest: values.fewestCarsToSay };
}

function wordsOf({ joint, state, fault }: FoundOnCarRow): string | null {
  if (joint !== null && state !== null) {
    const where = `${joint.replaceAll('-', ' ')} joint`;
    return state === 'washer' ? `${where}: washer missing` : `${where}: ${state}`;
  }
  const known = fault === null ? undefined : faultOf(fault);
  return known === undefined ? null : `${known.item}: ${known.means}`;
}
