import type { Role } from '../../../domain/people/rights.ts';

/** A role as people say it. */
export const ROLE_WORDS: Readonly<Record<Role, string>> = {
  manager: 'a manager',
  desk: 'one of the desk',
  fitter: 'a fitter',
  volunteer: 'a volunteer of the care day',
};

/** What a role may do, for whoever gives it. */
export const ROLE_CHOICES: readonly (readonly [Role, string])[] = [
  ['manager', 'Manager: everything, and the people'],
  ['desk', 'Desk: owners, bookings and all work'],
  ['fitter', 'Fitter: records and work at the cars'],
  ['volunteer', 'Volunteer: the care day, nothing else'],
];
