import type { VisitKind } from '../../domain/bench/minutes.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first } from '../database/sql.ts';
import type { OfferedKind } from './offer-rows.ts';

/** The top that a link to its booking leads to, with its car and whom it belongs to. */
export interface BookLinkRow {
  organisationId: string;
  topId: string;
  carId: string;
  retiredOn: Day | null;
  registration: string;
  timeZone: string;
  ownerId: string;
  ownerName: string;
  language: string;
  organisationName: string;
  postalAddress: string | null;
  phone: string | null;
}

/** Whose link it is. */
export interface BookLink {
  readonly organisationId: string;
  readonly ownerId: string;
}

const TOP =
  't."organisationId", t."id" AS "topId", t."carId", t."retiredOn", c."registration", c."timeZone", c."ownerId", o."name" AS "ownerName", o."language", g."name" AS "organisationName", g."postalAddress", g."phone"';
const FROM =
  '"top" t JOIN "car" c ON c."id" = t."carId" JOIN "owner" o ON o."id" = c."ownerId" JOIN "organisation" g ON g."id" = t."organisationId"';
const STILL_HIS = 't."organisationId" = ? AND c."ownerId" = ? AND o."erasedAt" IS NULL';

/** The top that an offer is for, with what is offered, as long as the car is still its owner's; null otherwise. */
export function offerBehind(
  sql: Sql,
  { organisationId, ownerId, id }: BookLink & { readonly id: string },
): Promise<(BookLinkRow & { kind: OfferedKind }) | null> {
  return first(
    sql,
    `SELECT ${TOP}, f."kind" FROM ${FROM} JOIN "offer" f ON f."topId" = t."id" WHERE f."id" = ? AND ${STILL_HIS}`,
    [id, organisationId, ownerId],
  );
}

/** The top itself. */
export function topBehind(
  sql: Sql,
  { organisationId, ownerId, id }: BookLink & { readonly id: string },
): Promise<BookLinkRow | null> {
  return first(sql, `SELECT ${TOP} FROM ${FROM} WHERE t."id" = ? AND ${STILL_HIS}`, [
    id,
    organisationId,
    ownerId,
  ]);
}

/** The top that a visit is for, with the kind of the visit. */
export function visitBehind(
  sql: Sql,
  { organisationId, ownerId, id }: BookLink & { readonly id: string },
): Promise<(BookLinkRow & { kind: VisitKind }) | null> {
  return first(
    sql,
    `SELECT ${TOP}, v."kind" FROM ${FROM} JOIN "visit" v ON v."topId" = t."id" WHERE v."id" = ? AND ${STILL_HIS}`,
    [id, organisationId, ownerId],
  );
}

/** A visit as its owner may change it. */
export interface LastVisitRow {
  id: string;
  state: string;
  plannedOn: Day | null;
  dropOffAt: Instant | null;
  readyAt: Instant | null;
  minutes: number | null;
  version: number;
}

/** The visit of a kind that was booked last for a top, whatever became of it; null if none was. */
export function lastBooked(sql: Sql, topId: string, kind: VisitKind): Promise<LastVisitRow | null> {
  return first(
    sql,
    'SELECT "id", "state", "plannedOn", "dropOffAt", "readyAt", "minutes", "version" FROM "visit" WHERE "topId" = ? AND "kind" = ? AND "plannedOn" IS NOT NULL ORDER BY "id" DESC LIMIT 1',
    [topId, kind],
  );
}
