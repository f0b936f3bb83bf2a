import * as fc from 'fast-check';
import { type FaultAnswer, findFaults, type KnownBefore } from '../../../src/domain/faults/find.ts';
import { SIGNS } from '../../../src/domain/faults/signs.ts';

/** The answer to ticks that can stand. */
export function answer(
  seen: readonly string[],
  ruledOut: readonly string[] = [],
  known: KnownBefore = {},
): FaultAnswer {
  const found = findFaults({ seen, ruledOut }, known);
  if ('refused' in found) throw new Error(`${found.refused}: ${found.signs.join()}`);
  return found;
}

/** The chance of a fault; 0 where it is not in question. */
export function chanceOf({ causes }: FaultAnswer, id: string): number {
  return causes.find((cause) => cause.id === id)?.chance ?? 0;
}

/** Up to ten signs seen, and up to six others looked for in vain. */
export const ticks = fc
  .uniqueArray(fc.constantFrom(...SIGNS.map(({ id }) => id)), { minLength: 1, maxLength: 16 })
  .map((ids) => ({ seen: ids.slice(0, 10), ruledOut: ids.slice(10) }));
