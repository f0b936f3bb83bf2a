import type { TrailEntry } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';

export type TrailRow = TrailEntry;

/** Of which record the entries are asked for; of all records of the organisation where empty. */
export interface TrailSubject {
  readonly carId?: string | undefined;
  readonly ownerId?: string | undefined;
  readonly visitId?: string | undefined;
  /** A record by its table and key, where it is about no car, owner or visit. */
  readonly record?: { readonly kind: string; readonly id: string } | undefined;
}

/** The entries before one (by id), the newest first. */
export function trailBefore(
  sql: Sql,
  organisationId: string,
  { carId, ownerId, visitId, record }: TrailSubject,
  { before, most }: { readonly before: string | null; readonly most: number },
): Promise<TrailRow[]> {
  const ofCar = carId === undefined ? '' : ' AND "carId" = ?';
  const ofOwner = ownerId === undefined ? '' : ' AND "ownerId" = ?';
  const ofVisit = visitId === undefined ? '' : ' AND "visitId" = ?';
  const ofRecord = record === undefined ? '' : ' AND "kind" = ? AND "recordId" = ?';
  const older = before === null ? '' : ' AND "id" < ?';
  const subject = [carId, ownerId, visitId, record?.kind, record?.id];
  const values = [organisationId, ...subject, before ?? undefined];
  return sql.all(
    `SELECT * FROM "trail" WHERE "organisationId" = ?${ofCar}${ofOwner}${ofVisit}${ofRecord}${older} ORDER BY "id" DESC LIMIT ?`,
    [...values.filter((value) => value !== undefined), most],
  );
}

/** What stood in the records that an owner is, and in those of the cars named: to be erased. */
export function trailAbout(
  sql: Sql,
  owner: { readonly id: string; readonly organisationId: string },
): Promise<Pick<TrailRow, 'id' | 'kind' | 'was' | 'becomes'>[]> {
  const { id, organisationId } = owner;
  return sql.all(
    `SELECT "id", "kind", "was", "becomes" FROM "trail" WHERE "organisationId" = ? AND ("was" IS NOT NULL OR "becomes" IS NOT NULL) AND ("ownerId" = ? OR "carId" IN (SELECT "id" FROM "car" WHERE "ownerId" = ? UNION SELECT "carId" FROM "letter_occasion" WHERE "ownerId" = ? UNION SELECT "carId" FROM "call_entry" WHERE "ownerId" = ?))`,
    [organisationId, id, id, id, id],
  );
}

/** Puts other words into an entry: only where a person is erased. */
export async function rewriteTrail(
  sql: Sql,
  { id, was, becomes }: Pick<TrailRow, 'id' | 'was' | 'becomes'>,
): Promise<void> {
  await sql.run('UPDATE "trail" SET "was" = ?, "becomes" = ? WHERE "id" = ?', [was, becomes, id]);
}
