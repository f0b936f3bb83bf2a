import type { Work } from '../cautions/cautions.ts';
import { BODY_FAULTS } from './body-faults.ts';
import { COVER_FAULTS } from './cover-faults.ts';
import type { Fault } from './fault.ts';
import { FRAME_FAULTS } from './frame-faults.ts';
import { HYDRAULIC_FAULTS } from './hydraulic-faults.ts';
import { INNER_FAULTS } from './inner-faults.ts';

/** The work that looking for faults of a group and mending them leads to: common practice, no source. */
const WORKS_OF_GROUP: readonly (readonly [readonly Fault[], readonly Work[]])[] = [
  [COVER_FAULTS, ['frame', 'springs', 'cables', 'glue']],
  [INNER_FAULTS, ['frame', 'glue', 'dust']],
  [BODY_FAULTS, ['glass', 'metalwork', 'dust']],
  [FRAME_FAULTS, ['frame', 'springs', 'metalwork']],
  [HYDRAULIC_FAULTS, ['hydraulics', 'operation', 'frame']],
];

const BY_ID = new Map(
  WORKS_OF_GROUP.flatMap(([faults, works]) => faults.map(({ id }) => [id, works] as const)),
);

/** The kinds of work that these faults lead to, each once, for the cautions that belong to them. */
export function worksOf(faultIds: readonly string[]): Work[] {
  return [...new Set(faultIds.flatMap((id) => BY_ID.get(id) ?? []))];
}
