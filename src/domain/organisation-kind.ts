/** Whose records these are: a shop that fits tops, a club that cares for its members' cars, one owner. */
export const ORGANISATION_KINDS = ['shop', 'club', 'private'] as const;
export type OrganisationKind = (typeof ORGANISATION_KINDS)[number];
