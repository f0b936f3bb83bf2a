import { carIdsOf, holdCars } from '../database/car-lock.ts';
import type { OrganisationKind } from '../../domain/organisation-kind.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { PositionRow } from './position-rows.ts';
import type { Sql } from '../database/sql.ts';
import { first } from '../database/sql.ts';

/** Whose page is opened, and who looks after the tops on it. */
export interface PageOwner {
  readonly name: string;
  readonly language: string;
  readonly timeZone: string;
  readonly organisationId: string;
  readonly organisationName: string;
  readonly organisationKind: OrganisationKind;
  readonly phone: string | null;
}

/** The owner with the organisation; null for one who was erased. */
export function pageOwner(
  sql: Sql,
  organisationId: string,
  ownerId: string,
): Promise<(PageOwner & { readonly id: string }) | null> {
  return first(
    sql,
    `SELECT o."id", o."name", o."language", o."timeZone", o."organisationId", g."name" AS "organisationName", g."kind" AS "organisationKind", g."phone" FROM "owner" o JOIN "organisation" g ON g."id" = o."organisationId" WHERE o."id" = ? AND o."organisationId" = ? AND o."erasedAt" IS NULL`,
    [ownerId, organisationId],
  );
}

/** A private organisation in the place of its owner: it may be a household with several. */
export function pageOrganisation(sql: Sql, organisationId: string): Promise<PageOwner | null> {
  return first(
    sql,
    'SELECT "name", "language", "timeZone", "id" AS "organisationId", "name" AS "organisationName", "kind" AS "organisationKind", "phone" FROM "organisation" WHERE "id" = ?',
    [organisationId],
  );
}

export interface PageCar {
  readonly id: string;
  readonly registration: string;
  readonly timeZone: string;
  readonly foldFloorCelsius: number | null;
  readonly topId: string | null;
  readonly ownerId: string;
  /** When she got it from another: the log before that is not hers to read. */
  readonly ownerSince: Instant | null;
  readonly place: string | null;
  readonly salt: string | null;
  readonly use: string | null;
}

/** An owner's cars, or all of the organisation's, in the order they were added, each with its top. */
export function pageCars(
  sql: Sql,
  organisationId: string,
  ownerId: string | null,
): Promise<PageCar[]> {
  const whose = ownerId === null ? '' : ' AND c."ownerId" = ?';
  return sql.all(
    `SELECT c."id", c."ownerId", c."ownerSince", c."registration", c."timeZone", c."foldFloorCelsius", c."place", c."salt", c."use", t."id" AS "topId" FROM "car" c LEFT JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL WHERE c."organisationId" = ?${whose} ORDER BY c."id"`,
    ownerId === null ? [organisationId] : [organisationId, ownerId],
  );
}

/** The newest entries of a car's log, from an instant on, withdrawn ones left out, the newest first. */
export function newestEntries(
  sql: Sql,
  carId: string,
  limit: number,
  from: Instant | null,
): Promise<PositionRow[]> {
  return sql.all(
    'SELECT * FROM "position_entry" WHERE "carId" = ? AND "withdrawnAt" IS NULL AND "at" >= ? ORDER BY "at" DESC, "id" DESC LIMIT ?',
    [carId, from ?? '', limit],
  );
}

/** When the owner of a car got it from another; null where it is as far back as the records go. */
export async function ownerSinceOf(sql: Sql, carId: string): Promise<Instant | null> {
  const row = await first<{ ownerSince: Instant | null }>(
    sql,
    'SELECT "ownerSince" FROM "car" WHERE "id" = ?',
    [carId],
  );
  return row?.ownerSince ?? null;
}

/** An owner's cars, held as {@link holdCars} holds them. */
export async function lockCarsOfOwner(sql: Sql, ownerId: string): Promise<string[]> {
  await holdCars(sql, [], [ownerId]);
  return carIdsOf(sql, [ownerId]);
}

/** Ends an owner's links of every purpose but stopping letters. */
export async function revokeLinks(sql: Sql, ownerId: string, at: Instant): Promise<void> {
  await sql.run(
    `UPDATE "link" SET "revokedAt" = ? WHERE "ownerId" = ? AND "purpose" <> 'stop' AND "revokedAt" IS NULL`,
    [at, ownerId],
  );
}

/** Says on the owner's record when the links were ended: one line of the trail for all of them. */
export async function noteLinksRevoked(sql: Sql, ownerId: string, at: Instant): Promise<void> {
  await sql.run('UPDATE "owner" SET "linksRevokedAt" = ? WHERE "id" = ?', [at, ownerId]);
}

/** Unsent letters to an owner that the round would write again; those of a visit it would not. */
export async function openRoundLettersTo(sql: Sql, ownerId: string): Promise<string[]> {
  const rows = await sql.all<{ id: string }>(
    `SELECT "id" FROM "letter" WHERE "ownerId" = ? AND "kind" NOT LIKE 'visit-%' AND "state" IN ('planned', 'sending')`,
    [ownerId],
  );
  return rows.map(({ id }) => id);
}

/** A visit of a day that an owner told of by a page, as its notes show; null where there is none. */
export function toldVisit(
  sql: Sql,
  topId: string,
  doneOn: string,
  notes: string,
): Promise<{ id: string } | null> {
  return first(
    sql,
    `SELECT "id" FROM "visit" WHERE "topId" = ? AND "doneOn" = ? AND "kind" = 'lubrication' AND "state" = 'done' AND "notes" = ? AND NOT EXISTS (SELECT 1 FROM "reading" r WHERE r."visitId" = "visit"."id")`,
    [topId, doneOn, notes],
  );
}
