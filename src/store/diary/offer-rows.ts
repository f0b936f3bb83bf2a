import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { WITH_ALL_THEIRS } from '../database/kept-triggers.ts';
import { AMONG, first, forUpdate, insertRows } from '../database/sql.ts';

/** The kinds of visit that fall due by themselves, and are offered. */
export type OfferedKind = 'lubrication' | 'look';

/** Weeks offered to an owner for one top: open until one is taken or the offer is withdrawn. */
export interface OfferRow {
  id: string;
  topId: string;
  /** The week that the plan counts on. */
  week: string;
  /** Every week that may be chosen, as JSON, in order. */
  weeks: string;
  /** The due day that the visit is for. */
  dueOn: Day;
  /** What the visit is for: oil, or a second look. */
  kind: OfferedKind;
  offeredAt: Instant;
}

const OFFER = '"id", "topId", "week", "weeks", "dueOn", "kind", "offeredAt"';

/** The open offers of an organisation, in the order in which they were made. */
export function openOffers(sql: Sql, organisationId: string): Promise<OfferRow[]> {
  return sql.all(
    `SELECT ${OFFER} FROM "offer" WHERE "organisationId" = ? AND "state" = 'open' ORDER BY "offeredAt", "id"`,
    [organisationId],
  );
}

/** The offer of a kind that stands open for a top, or null. */
export function openOfferOf(
  sql: Sql,
  organisationId: string,
  topId: string,
  kind: OfferedKind,
): Promise<OfferRow | null> {
  return first(
    sql,
    `SELECT ${OFFER} FROM "offer" WHERE "topId" = ? AND "organisationId" = ? AND "kind" = ? AND "state" = 'open'`,
    [topId, organisationId, kind],
  );
}

export async function addOffers(
  sql: Sql,
  organisationId: string,
  offers: readonly OfferRow[],
): Promise<void> {
  const rows = offers.map(({ id, topId, week, weeks, dueOn, kind, offeredAt }) => ({
    id,
    organisationId,
    topId,
    week,
    weeks,
    dueOn,
    kind,
    state: 'open',
    offeredAt,
  }));
  await insertRows(sql, 'offer', rows);
}

/** Ends open offers for which the plan has no use any more. */
export async function withdrawOffers(sql: Sql, ids: readonly string[], at: Instant): Promise<void> {
  for (let start = 0; start < ids.length; start += AT_ONCE) {
    const part = ids.slice(start, start + AT_ONCE);
    await sql.run(
      `UPDATE "offer" SET "state" = 'withdrawn', "endedAt" = ? WHERE "id" ${AMONG} AND "state" = 'open'`,
      [at, part],
    );
  }
}

/** Notes that the open offer of a kind has led to a booking; false where there was none. */
export async function takeOffer(
  sql: Sql,
  organisationId: string,
  visit: { readonly id: string; readonly topId: string; readonly kind: string },
  at: Instant,
): Promise<boolean> {
  const taken = await sql.run(
    `UPDATE "offer" SET "state" = 'taken', "endedAt" = ?, "visitId" = ? WHERE "topId" = ? AND "organisationId" = ? AND "kind" = ? AND "state" = 'open'`,
    [at, visit.id, visit.topId, organisationId, visit.kind],
  );
  return taken > 0;
}

/**
 * Holds every car that an offer, made or ended, can lead to a letter about, and one more, until the
 * transaction ends (`database/car-lock.ts` says why). Call it before anything else that locks a car.
 */
export async function lockOfferedCars(
  sql: Sql,
  organisationId: string,
  carId?: string,
): Promise<void> {
  if (sql.dialect === 'sqlite') return;
  await sql.all(
    `WITH "named" AS (SELECT t."carId" AS "id" FROM "offer" f JOIN "top" t ON t."id" = f."topId" WHERE f."organisationId" = ? AND f."state" = 'open' UNION SELECT o."carId" FROM "letter" l JOIN "letter_occasion" o ON o."letterId" = l."id" WHERE l."organisationId" = ? AND o."kind" = 'visit-offered' AND l."state" IN ('planned', 'sending') UNION SELECT ?)${WITH_ALL_THEIRS}${forUpdate(sql)}`,
    [organisationId, organisationId, carId ?? ''],
  );
}

const AT_ONCE = 500;
