import type { Car, Owner, TrailEntry, Visit } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';

/** What an owner changed about a visit or a finding, with the visit as it stands now. */
export type OwnerDeedRow = Pick<TrailEntry, 'at' | 'kind' | 'action' | 'was' | 'becomes'> &
  Pick<Visit, 'state' | 'plannedOn' | 'dropOffAt'> & {
    visitId: Visit['id'];
    carId: Car['id'];
    registration: Car['registration'];
    ownerName: Owner['name'];
  };

/**
 * What owners did by their links since an instant, the newest first, among the last changes of the
 * organisation: however long its trail is, no more of it is read.
 */
export function ownerDeedsSince(
  sql: Sql,
  organisationId: string,
  { since, among }: { readonly since: string; readonly among: number },
): Promise<OwnerDeedRow[]> {
  return sql.all(
    `SELECT t."at", t."kind", t."action", t."was", t."becomes", v."id" AS "visitId", v."state", v."plannedOn", v."dropOffAt", c."id" AS "carId", c."registration", o."name" AS "ownerName" FROM (SELECT * FROM "trail" WHERE "organisationId" = ? ORDER BY "id" DESC LIMIT ?) t JOIN "visit" v ON v."id" = t."visitId" JOIN "car" c ON c."id" = v."carId" JOIN "owner" o ON o."id" = c."ownerId" WHERE t."at" >= ? AND t."author" LIKE 'owner:%' AND t."kind" IN ('visit', 'finding') ORDER BY t."id" DESC`,
    [organisationId, among, since],
  );
}
