import { BODY_FAULTS } from './body-faults.ts';
import { COVER_FAULTS } from './cover-faults.ts';
import { type Fault, saidInWords } from './fault.ts';
import { FRAME_FAULTS } from './frame-faults.ts';
import { HYDRAULIC_FAULTS } from './hydraulic-faults.ts';
import { INNER_FAULTS } from './inner-faults.ts';

/** All faults that an inspection can name. Findings of a visit use the same ids. */
export const FAULTS: readonly Fault[] = [
  ...COVER_FAULTS,
  ...INNER_FAULTS,
  ...BODY_FAULTS,
  ...FRAME_FAULTS,
  ...HYDRAULIC_FAULTS,
];

const BY_ID = new Map(FAULTS.map((row) => [row.id, row]));

export function faultOf(id: string): Fault | undefined {
  return BY_ID.get(id);
}

/** Where what is said of a fault comes from, in words; empty for one that is not in the list. */
export function saidOf(id: string): string {
  const fault = faultOf(id);
  return fault === undefined ? '' : saidInWords(fault);
}
