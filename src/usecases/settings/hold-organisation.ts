import type { Instant } from '../../domain/calendar/instant.ts';
import { notFound } from '../../domain/refusal.ts';
import type { Sql } from '../../store/database/sql.ts';
import { lockCars } from '../../store/cars/car-rows.ts';
import type { OrganisationRow } from '../../store/organisations/organisation-rows.ts';
import { lockOrganisation } from '../../store/organisations/organisation-rows.ts';
import { carsWithVisitsToTell } from '../../store/visits/visit-letter-rows.ts';
import type { Context } from '../context/context.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { retellVisits } from '../visits/visit-letters.ts';

/**
 * Locks an organisation for a change of what its rules decide by, with all its cars, so that nothing
 * is decided meanwhile by what is about to change. Cars are locked first, as everywhere.
 */
export async function holdOrganisation(
  sql: Sql,
  organisationId: string,
): Promise<{ organisation: OrganisationRow; carIds: string[] }> {
  const carIds = await lockCars(sql, organisationId);
  const organisation = await lockOrganisation(sql, organisationId);
  if (organisation === null) throw notFound('organisation');
  return { organisation, carIds };
}

/** Reconsiders many cars, in parts that the loading of their facts is made for. */
export async function reconsiderAll(
  sql: Sql,
  carIds: readonly string[],
  at: Instant,
  tells?: Parameters<typeof reconsiderCars>[3],
): Promise<void> {
  for (let start = 0; start < carIds.length; start += CARS_AT_ONCE) {
    await reconsiderCars(sql, carIds.slice(start, start + CARS_AT_ONCE), at, tells);
  }
}

/** Writes anew the letters about visits that wait: what stands in every one of them has changed. */
export async function retellAllVisits(
  context: Pick<Context, 'publicUrl' | 'mailDomain'>,
  sql: Sql,
  organisationId: string,
  at: Instant,
): Promise<void> {
  for (const carId of await carsWithVisitsToTell(sql, organisationId)) {
    await retellVisits(context, sql, carId, at, { all: true });
  }
}

const CARS_AT_ONCE = 500;
