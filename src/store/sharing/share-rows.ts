import type { Instant } from '../../domain/calendar/instant.ts';
import type { ShareKind } from '../../domain/sharing/share-kind.ts';
import type { Car, CarTie, Organisation, Share } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

/** The other side of a car: the organisation that has a record of it too. */
export type TieRow = Pick<
  CarTie,
  'id' | 'carId' | 'otherOrganisationId' | 'otherCarId' | 'createdAt'
> & {
  readonly otherName: Organisation['name'];
};

// A car that was sold is no longer its former owner's to share, on either side.
const STILL_THEIRS =
  't."endedAt" IS NULL AND c."ownerId" = t."ownerId" AND oc."ownerId" = t."otherOwnerId"';
const TIES =
  '"car_tie" t JOIN "car" c ON c."id" = t."carId" JOIN "car" oc ON oc."id" = t."otherCarId" JOIN "organisation" g ON g."id" = t."otherOrganisationId"';

/** With which other records an owner has joined the own cars. */
export function tiesOf(sql: Sql, organisationId: string, ownerId: string): Promise<TieRow[]> {
  return sql.all(
    `SELECT t."id", t."carId", t."otherOrganisationId", t."otherCarId", t."createdAt", g."name" AS "otherName" FROM ${TIES} WHERE t."organisationId" = ? AND t."ownerId" = ? AND ${STILL_THEIRS} ORDER BY t."createdAt", t."id"`,
    [organisationId, ownerId],
  );
}

export async function insertTies(
  sql: Sql,
  ties: readonly Omit<CarTie, 'endedAt'>[],
): Promise<void> {
  await insertRows(sql, 'car_tie', ties);
}

/** Parts two records of a car again, on both sides, and with it all that was shared between them. */
export async function endTies(
  sql: Sql,
  tie: Pick<CarTie, 'organisationId' | 'carId' | 'otherOrganisationId' | 'otherCarId'>,
  at: Instant,
): Promise<void> {
  const one = [tie.organisationId, tie.carId, tie.otherOrganisationId, tie.otherCarId];
  const other = [tie.otherOrganisationId, tie.otherCarId, tie.organisationId, tie.carId];
  for (const side of [one, other]) {
    await sql.run(
      'UPDATE "car_tie" SET "endedAt" = ? WHERE "organisationId" = ? AND "carId" = ? AND "otherOrganisationId" = ? AND "otherCarId" = ? AND "endedAt" IS NULL',
      [at, ...side],
    );
    await sql.run(
      'UPDATE "share" SET "endedAt" = ? WHERE "organisationId" = ? AND "carId" = ? AND "toOrganisationId" = ? AND "endedAt" IS NULL',
      [at, side[0] ?? '', side[1] ?? '', side[2] ?? ''],
    );
  }
}

export type ShareRow = Pick<Share, 'carId' | 'toOrganisationId' | 'since'> & {
  readonly kind: ShareKind;
};

/** What an owner shares now. */
export function sharesOf(sql: Sql, organisationId: string, ownerId: string): Promise<ShareRow[]> {
  return sql.all(
    'SELECT "carId", "toOrganisationId", "kind", "since" FROM "share" WHERE "organisationId" = ? AND "ownerId" = ? AND "endedAt" IS NULL ORDER BY "since", "id"',
    [organisationId, ownerId],
  );
}

export async function insertShare(sql: Sql, share: Omit<Share, 'endedAt'>): Promise<void> {
  await insertRows(sql, 'share', [share]);
}

/** Takes back what was shared of one kind. */
export async function endShare(
  sql: Sql,
  share: Pick<Share, 'organisationId' | 'carId' | 'ownerId' | 'toOrganisationId' | 'kind'>,
  at: Instant,
): Promise<void> {
  await sql.run(
    'UPDATE "share" SET "endedAt" = ? WHERE "organisationId" = ? AND "carId" = ? AND "ownerId" = ? AND "toOrganisationId" = ? AND "kind" = ? AND "endedAt" IS NULL',
    [at, share.organisationId, share.carId, share.ownerId, share.toOrganisationId, share.kind],
  );
}

/** Ends everything that an owner shared or was joined with: whoever is erased shares nothing. */
export async function endSharingOf(sql: Sql, ownerId: string, at: Instant): Promise<void> {
  await sql.run('UPDATE "share" SET "endedAt" = ? WHERE "ownerId" = ? AND "endedAt" IS NULL', [
    at,
    ownerId,
  ]);
  await sql.run(
    'UPDATE "car_tie" SET "endedAt" = ? WHERE ("ownerId" = ? OR "otherOwnerId" = ?) AND "endedAt" IS NULL',
    [at, ownerId, ownerId],
  );
}

/** What others' records of a car are open to an organisation, each kind by itself. */
export type OpenRow = {
  readonly organisationId: Share['organisationId'];
  readonly organisationName: Organisation['name'];
  readonly carId: Car['id'];
  readonly timeZone: Car['timeZone'];
  readonly kind: ShareKind;
  readonly since: Instant;
};

/**
 * What is shared with an organisation about one of its own cars: by the present owner, who joined the
 * records and has taken nothing back.
 */
export function openTo(sql: Sql, organisationId: string, carId: string): Promise<OpenRow[]> {
  return sql.all(
    `SELECT s."organisationId", g."name" AS "organisationName", s."carId", c."timeZone", s."kind", s."since" FROM "share" s JOIN "car_tie" t ON t."organisationId" = s."organisationId" AND t."carId" = s."carId" AND t."ownerId" = s."ownerId" AND t."otherOrganisationId" = s."toOrganisationId" JOIN "car" c ON c."id" = t."carId" JOIN "car" oc ON oc."id" = t."otherCarId" JOIN "organisation" g ON g."id" = s."organisationId" WHERE s."toOrganisationId" = ? AND t."otherCarId" = ? AND oc."organisationId" = s."toOrganisationId" AND s."endedAt" IS NULL AND ${STILL_THEIRS} ORDER BY g."name", s."kind"`,
    [organisationId, carId],
  );
}

/** The link of a car's record that waits to be joined with another, and whose it is. */
export function joinableCar(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<Pick<Car, 'id' | 'organisationId' | 'ownerId' | 'registration'> | null> {
  return first(
    sql,
    'SELECT "id", "organisationId", "ownerId", "registration" FROM "car" WHERE "organisationId" = ? AND "id" = ?',
    [organisationId, carId],
  );
}

/** Marks a link as used; false where somebody was quicker. */
export async function useLink(sql: Sql, linkId: string, at: Instant): Promise<boolean> {
  const used = await sql.run(
    'UPDATE "link" SET "usedAt" = ?, "revokedAt" = ? WHERE "id" = ? AND "usedAt" IS NULL AND "revokedAt" IS NULL',
    [at, at, linkId],
  );
  return used === 1;
}
