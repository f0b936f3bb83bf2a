/** What somebody of an organisation may do on its pages. */
export type Right =
  /** Look at owners, cars, tops, visits, letters and what follows from them. */
  | 'read-records'
  /** Record work: visits, readings, findings, positions, calls, parts. */
  | 'record-work'
  /** Keep owners, their links, bookings and offers. */
  | 'keep-owners'
  /** Say how the organisation works: diary, figures, wording, its name and address. */
  | 'manage-organisation'
  /** Invite and part with people, make and revoke keys, export, erase. */
  | 'keep-people'
  /** See the care day: who comes when, and to which bench. */
  | 'care-day'
  /** Record what is found at the bench of a care day, on that day, of the cars that have a time on it. */
  | 'record-care-day';

export const ROLES = ['manager', 'desk', 'fitter', 'volunteer'] as const;
/** What somebody does in the organisation. */
export type Role = (typeof ROLES)[number];

const EVERY_RIGHT: readonly Right[] = [
  'read-records',
  'record-work',
  'keep-owners',
  'manage-organisation',
  'keep-people',
  'care-day',
  'record-care-day',
];

const OF_ROLE: Readonly<Record<Role, readonly Right[]>> = {
  manager: EVERY_RIGHT,
  desk: ['read-records', 'record-work', 'keep-owners', 'care-day', 'record-care-day'],
  fitter: ['read-records', 'record-work', 'care-day', 'record-care-day'],
  volunteer: ['care-day', 'record-care-day'],
};

const OF_SCOPE: Readonly<Record<'full' | 'read' | 'log', readonly Right[]>> = {
  full: EVERY_RIGHT,
  read: ['read-records', 'care-day'],
  log: [],
};

/** Whether a role, or a key's scope where nobody with a role asks, has a right. */
export function hasRight(
  { role, scope }: { readonly role?: Role | undefined; readonly scope: 'full' | 'read' | 'log' },
  right: Right,
): boolean {
  return (role === undefined ? OF_SCOPE[scope] : OF_ROLE[role]).includes(right);
}
