import type { Sql } from '../database/sql.ts';
import { first } from '../database/sql.ts';

/**
 * Of a car `c`: that its organisation is a club and its owner has not shared with it where the top
 * stands. A shop is told of it for its work; a club sees what its members shared.
 */
export const UNSEEN = `(EXISTS (SELECT 1 FROM "organisation" ug WHERE ug."id" = c."organisationId" AND ug."kind" = 'club') AND NOT EXISTS (SELECT 1 FROM "share" us WHERE us."carId" = c."id" AND us."organisationId" = c."organisationId" AND us."toOrganisationId" = c."organisationId" AND us."ownerId" = c."ownerId" AND us."kind" = 'positions' AND us."endedAt" IS NULL))`;

/** Of a letter `l`: that it says where the top of such a car stands. */
export const UNSEEN_LETTER = `(l."kind" LIKE 'folded-%' AND EXISTS (SELECT 1 FROM "letter_occasion" uo JOIN "car" c ON c."id" = uo."carId" WHERE uo."letterId" = l."id" AND ${UNSEEN}))`;

/** Whether an organisation may not see where the top of one of its cars stands. */
export async function isUnseen(sql: Sql, carId: string): Promise<boolean> {
  return (
    (await first(sql, `SELECT c."id" FROM "car" c WHERE c."id" = ? AND ${UNSEEN}`, [carId])) !==
    null
  );
}
