import type { Instant } from '../../domain/calendar/instant.ts';
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
  withPeople: boolean,
): Promise<TrailRow[]> {
  const kinds = withPeople
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
export function namesOfPeopleAndKeys(
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
    `SELECT "id", "kind", "was", "becomes" FROM "trail" WHERE "organisationId" = ? AND ("was" IS NOT NULL OR "becomes" IS NOT NULL) AND ("ownerId" = ? OR "carId" IN (SELECT "id" FROM "car" WHERE "ownerId" = ? UNION SELECT "carId" FROM "letter_occasion" WHERE "ownerId" = ? UNION SELECT "carId" FROM "call_entry" WHERE "ownerId" = ? UNION SELECT "recordId" FROM "trail" WHERE "ownerId" = ? AND "kind" = 'car'))`,
    [organisationId, id, id, id, id, id],
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

/** A car that was taken out of the records, as the trail has it. */
export type RemovedCarRow = Pick<TrailRow, 'at' | 'author' | 'authorName' | 'was'> & {
  carId: string;
};

/** The cars of an owner that were taken out and are not there again, the newest first. */
export function removedCarsOf(
  sql: Sql,
  organisationId: string,
  ownerId: string,
  most: number,
): Promise<RemovedCarRow[]> {
  return sql.all(
    `SELECT r."recordId" AS "carId", r."at", r."author", r."authorName", r."was" FROM "trail" r WHERE r."organisationId" = ? AND r."ownerId" = ? AND r."kind" = 'car' AND r."action" = 'removed' AND NOT EXISTS (SELECT 1 FROM "car" c WHERE c."id" = r."recordId") AND NOT EXISTS (SELECT 1 FROM "trail" later WHERE later."ownerId" = r."ownerId" AND later."kind" = 'car' AND later."recordId" = r."recordId" AND later."id" > r."id") ORDER BY r."id" DESC LIMIT ?`,
    [organisationId, ownerId, most],
  );
}

/** The latest time that a car was taken out; null where it never was. */
export function removalOfCar(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<Pick<TrailRow, 'at' | 'was'> | null> {
  return first(
    sql,
    `SELECT "at", "was" FROM "trail" WHERE "organisationId" = ? AND "carId" = ? AND "kind" = 'car' AND "action" = 'removed' ORDER BY "id" DESC LIMIT 1`,
    [organisationId, carId],
  );
}

/** What was taken out of the records of a car at an instant, in the order in which it went. */
export function removedWithCar(
  sql: Sql,
  organisationId: string,
  carId: string,
  at: Instant,
): Promise<Pick<TrailRow, 'kind' | 'was'>[]> {
  return sql.all(
    `SELECT "kind", "was" FROM "trail" WHERE "organisationId" = ? AND "carId" = ? AND "action" = 'removed' AND "at" = ? ORDER BY "id"`,
    [organisationId, carId, at],
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
