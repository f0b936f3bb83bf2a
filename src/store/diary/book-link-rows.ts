import type { Day } from '../../domain/calendar/day.ts';
import type { Sql } from '../database/sql.ts';
import { first } from '../database/sql.ts';

/** What a link to an offered week leads to. */
export interface BookLinkRow {
  organisationId: string;
  topId: string;
  carId: string;
  retiredOn: Day | null;
  registration: string;
  timeZone: string;
  language: string;
  organisationName: string;
  postalAddress: string | null;
  phone: string | null;
}

/** The offer of a link, as long as the car is still its owner's; null otherwise. */
export function offerBehind(
  sql: Sql,
  link: { readonly organisationId: string; readonly ownerId: string; readonly offerId: string },
): Promise<BookLinkRow | null> {
  return first(
    sql,
    'SELECT f."organisationId", f."topId", t."carId", t."retiredOn", c."registration", c."timeZone", o."language", g."name" AS "organisationName", g."postalAddress", g."phone" FROM "offer" f JOIN "top" t ON t."id" = f."topId" JOIN "car" c ON c."id" = t."carId" JOIN "owner" o ON o."id" = c."ownerId" JOIN "organisation" g ON g."id" = f."organisationId" WHERE f."id" = ? AND f."organisationId" = ? AND c."ownerId" = ? AND o."erasedAt" IS NULL',
    [link.offerId, link.organisationId, link.ownerId],
  );
}
