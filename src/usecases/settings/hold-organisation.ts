import type { Instant } from '../../domain/calendar/instant.ts';
import { notFound } from '../../domain/refusal.ts';
import type { Sql } from '../../store/database/sql.ts';
import { first, forUpdate } from '../../store/database/sql.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';

/** An organisation as it is stored. */
export interface OrganisationRow {
  readonly id: string;
  readonly name: string;
  readonly kind: string;
  readonly timeZone: string;
  readonly language: string;
  readonly postalAddress: string | null;
  readonly phone: string | null;
  readonly email: string | null;
  readonly logo: string | null;
  readonly letterHours: string;
  readonly nightAlarms: unknown;
  readonly ownRules: string;
  readonly version: number;
}

/**
 * Locks an organisation for a change of what its rules decide by, with all its cars, so that nothing
 * is decided meanwhile by what is about to change. Cars are locked first, as everywhere.
 */
export async function holdOrganisation(
  sql: Sql,
  organisationId: string,
): Promise<{ organisation: OrganisationRow; carIds: string[] }> {
  const cars = await sql.all<{ id: string }>(
    `SELECT "id" FROM "car" WHERE "organisationId" = ? ORDER BY "id"${forUpdate(sql)}`,
    [organisationId],
  );
  const organisation = await first<OrganisationRow>(
    sql,
    `SELECT * FROM "organisation" WHERE "id" = ?${forUpdate(sql)}`,
    [organisationId],
  );
  if (organisation === null) throw notFound('organisation');
  return { organisation, carIds: cars.map(({ id }) => id) };
}

/** Reconsiders many cars, in parts that the loading of their facts is made for. */
export async function reconsiderAll(
  sql: Sql,
  carIds: readonly string[],
  at: Instant,
): Promise<void> {
  for (let start = 0; start < carIds.length; start += CARS_AT_ONCE) {
    await reconsiderCars(sql, carIds.slice(start, start + CARS_AT_ONCE), at);
  }
}

const CARS_AT_ONCE = 500;
