/** What an owner can let another organisation see, each by itself; nothing unless it is said. */
export const SHARE_KINDS = ['visits', 'positions', 'letters'] as const;
export type ShareKind = (typeof SHARE_KINDS)[number];
