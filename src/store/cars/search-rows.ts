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
