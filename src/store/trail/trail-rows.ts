import type { TrailEntry } from '../generated/sqlite/client.ts';
import { UNSEEN_TRAIL } from '../sharing/sight.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, insertRows } from '../database/sql.ts';

export type TrailRow = TrailEntry;

/** Of which record the entries are asked for; of all records of the organisation where empty. */
export interface TrailSubject {
  readonly carId?: string | undefined;
  readonly ownerId?: string | undefined;
  readonly visitId?: string | undefined;
  /** A record by its table and key, where it is about no car, owner or visit. */
  readonly record?: { readonly kind: string; readonly id: string } | undefined;
}

/** What is about the people of the organisation and its keys: for those who keep them. */
export const ORGANISATION_KINDS_TOLD = ['person', 'passkey', 'invitation', 'access_key'] as const;

/** Which part of a list is asked for. */
export interface TrailPart {
  /** The entry behind which it begins, by id; null for the newest. */
  readonly before: string | null;
  readonly most: number;
}

/**
 * The entries before one (by id), the newest first; without those about the organisation if so asked, and
 * without what tells a club where the top of a member stands.
 */
export function trailBefore(
  sql: Sql,
  organisationId: string,
  { carId, ownerId, visitId, record }: TrailSubject,
  { before, most }: TrailPart,
  withHouse: boolean,
): Promise<TrailRow[]> {
  const kinds = withHouse
    ? ''
    : ` AND "kind" NOT IN ('person', 'passkey', 'invitation', 'access_key')`;
  const ofCar = carId === undefined ? '' : ' AND "carId" = ?';
  const ofOwner = ownerId === undefined ? '' : ' AND "ownerId" = ?';
  const ofVisit = visitId === undefined ? '' : ' AND "visitId" = ?';
  const ofRecord = record === undefined ? '' : ' AND "kind" = ? AND "recordId" = ?';
  const older = before === null ? '' : ' AND "id" < ?';
  const subject = [carId, ownerId, visitId, record?.kind, record?.id];
  const values = [organisationId, ...subject, before ?? undefined];
  return sql.all(
    `SELECT r.* FROM "trail" r WHERE "organisationId" = ?${ofCar}${ofOwner}${ofVisit}${ofRecord}${older}${kinds} AND NOT ${UNSEEN_TRAIL} ORDER BY "id" DESC LIMIT ?`,
    [...values.filter((value) => value !== undefined), most],
  );
}

/** The entries of these kinds, the newest first. */
export function trailOfKinds(
  sql: Sql,
  organisationId: string,
  kinds: readonly string[],
  { before, most }: TrailPart,
): Promise<TrailRow[]> {
  const older = before === null ? '' : ' AND "id" < ?';
  return sql.all(
    `SELECT * FROM "trail" WHERE "organisationId" = ? AND "kind" ${AMONG}${older} ORDER BY "id" DESC LIMIT ?`,
    [organisationId, kinds, ...(before === null ? [] : [before]), most],
  );
}

/** The entries about one person of the organisation, the newest first. */
export function trailOfPerson(sql: Sql, personId: string, most: number): Promise<TrailRow[]> {
  return sql.all('SELECT * FROM "trail" WHERE "personId" = ? ORDER BY "id" DESC LIMIT ?', [
    personId,
    most,
  ]);
}

/** What people, invitations and keys of an organisation are called, by id. */
export function namesOfHouse(
  sql: Sql,
  organisationId: string,
  ids: readonly string[],
): Promise<{ id: string; name: string | null }[]> {
  const values = [organisationId, ids];
  return sql.all(
    `SELECT "id", "name" FROM "person" WHERE "organisationId" = ? AND "id" ${AMONG} UNION ALL SELECT "id", "name" FROM "invitation" WHERE "organisationId" = ? AND "id" ${AMONG} UNION ALL SELECT "id", "name" FROM "access_key" WHERE "organisationId" = ? AND "id" ${AMONG}`,
    [...values, ...values, ...values],
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

/** Notes what somebody did that changes no table: that records were taken out, a trial letter sent. */
export async function noteDeed(
  sql: Sql,
  entry: Pick<TrailRow, 'id' | 'organisationId' | 'at' | 'author' | 'authorName'>,
  kind: string,
  said: Readonly<Record<string, string>>,
): Promise<void> {
  const row = {
    ...entry,
    kind,
    recordId: entry.id,
    action: 'recorded',
    was: JSON.stringify(Object.fromEntries(Object.keys(said).map((name) => [name, null]))),
    becomes: JSON.stringify(said),
  };
  await insertRows(sql, 'trail', [row]);
}

/** What was noted of such a deed. */
export type OrganisationChange = Pick<TrailRow, 'at' | 'becomes'>;

/** When a car was given from one owner to another, the newest first, with what stood before. */
export function handoversOf(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<Pick<TrailRow, 'at' | 'was' | 'becomes'>[]> {
  return sql.all(
    `SELECT "at", "was", "becomes" FROM "trail" WHERE "organisationId" = ? AND "carId" = ? AND "kind" = 'car' AND "action" = 'changed' AND "was" LIKE '%"ownerId"%' ORDER BY "id" DESC LIMIT 20`,
    [organisationId, carId],
  );
}

/** The newest deed of a kind in an organisation; null where there is none. */
export function newestDeed(
  sql: Sql,
  organisationId: string,
  kind: string,
): Promise<OrganisationChange | null> {
  return first(
    sql,
    'SELECT "at", "becomes" FROM "trail" WHERE "organisationId" = ? AND "kind" = ? ORDER BY "id" DESC LIMIT 1',
    [organisationId, kind],
  );
}
