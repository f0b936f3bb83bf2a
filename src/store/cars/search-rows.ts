import type { Sql } from '../database/sql.ts';

export interface SearchableCarRow {
  id: string;
  registration: string;
  ownerName: string;
  phone: string | null;
  email: string;
  postcode: string | null;
  make: string | null;
  model: string | null;
}

/** Owners of an organisation who have no car there, in the order they were added. */
export function ownersWithoutCar(
  sql: Sql,
  organisationId: string,
  limit: number,
): Promise<(Pick<SearchableCarRow, 'id' | 'phone' | 'email' | 'postcode'> & { name: string })[]> {
  return sql.all(
    `SELECT o."id", o."name", o."phone", o."email", o."postcode" FROM "owner" o WHERE o."organisationId" = ? AND o."erasedAt" IS NULL AND NOT EXISTS (SELECT 1 FROM "car" c WHERE c."ownerId" = o."id") ORDER BY o."id" LIMIT ?`,
    [organisationId, limit],
  );
}

/**
 * The next cars of an organisation, or of one owner, in the order they were added, with the words by
 * which people know them. What is searched for is compared by the caller: the two databases fold
 * letters differently, and neither as people do.
 */
export function searchableCars(
  sql: Sql,
  organisationId: string,
  { after, ownerId }: { readonly after: string; readonly ownerId?: string | undefined },
  limit: number,
): Promise<SearchableCarRow[]> {
  return sql.all(
    `SELECT c."id", c."registration", c."make", c."model", o."name" AS "ownerName", o."phone", o."email", o."postcode" FROM "car" c JOIN "owner" o ON o."id" = c."ownerId"
     WHERE c."organisationId" = ? AND c."id" > ?${ownerId === undefined ? '' : ' AND c."ownerId" = ?'}
     ORDER BY c."id" LIMIT ?`,
    [organisationId, after, ...(ownerId === undefined ? [] : [ownerId]), limit],
  );
}
