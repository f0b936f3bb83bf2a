import type { OrganisationKind } from '../organisation-kind.ts';
import type { Advice } from './advice.ts';
import { DRIVE_ADVICE } from './drive-advice.ts';
import { FITTING_ADVICE } from './fitting-advice.ts';
import { FOLD_ADVICE } from './fold-advice.ts';
import { WASHING_ADVICE } from './washing-advice.ts';
import { YEAR_ADVICE } from './year-advice.ts';

/** All care advice, with who says so and how well it is supported. */
export const ADVICE: readonly Advice[] = [
  ...FITTING_ADVICE,
  ...FOLD_ADVICE,
  ...YEAR_ADVICE,
  ...WASHING_ADVICE,
  ...DRIVE_ADVICE,
];

/** The advice for those whom an organisation looks after; a private owner looks after the own cars. */
export function adviceFor(kind: OrganisationKind): readonly Advice[] {
  return kind === 'private' ? FOR_PRIVATE : ADVICE;
}

const FOR_PRIVATE = ADVICE.filter(({ byOrganisation }) => byOrganisation !== true);

/** The advice of that id, or undefined where a later release dropped it. */
export function adviceOf(id: string): Advice | undefined {
  return ADVICE.find((advice) => advice.id === id);
}
