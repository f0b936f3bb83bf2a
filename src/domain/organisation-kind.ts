/** Whose records these are: a shop that fits tops, a club that cares for its members' cars, one owner. */
export const ORGANISATION_KINDS = ['shop', 'club', 'private'] as const;
export type OrganisationKind = (typeof ORGANISATION_KINDS)[number];

/**
 * Whether owners may choose days by themselves: as the organisation says, else shops do and clubs, which
 * settle their days together, do not. Nobody books a visit with himself.
 */
export function letsOwnersBook(kind: OrganisationKind, said: boolean | null): boolean {
  return kind !== 'private' && (said ?? kind === 'shop');
}
