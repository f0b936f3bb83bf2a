import type { PageCar, PageOwner } from '../../store/cars/owner-page-rows.ts';
import { pageCars, pageOwner } from '../../store/cars/owner-page-rows.ts';
import { notFound } from '../../domain/refusal.ts';
import { findLink } from '../../store/letters/link-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Logger } from './log-position.ts';
import { hashOf } from '../context/secret.ts';

/** Notes by which a shop sees, and the owner's page knows again, who told of a visit. */
export const OWNER_TOLD = 'Told by the owner on the owner’s page; nothing was measured.';

/** An owner's page with the cars that its link may speak of. */
export interface OpenPage {
  readonly owner: PageOwner;
  readonly cars: readonly PageCar[];
}

/** The page that a link opens, or null; a link of another purpose opens none. */
export async function openPage(context: Context, token: string): Promise<OpenPage | null> {
  const { sql } = context.store;
  const link = await findLink(sql, 'owner-page', hashOf(token));
  if (link === null || link.ownerId === null) return null;
  const owner = await pageOwner(sql, link.organisationId, link.ownerId);
  if (owner === null) return null;
  const cars = await pageCars(sql, link.organisationId, owner.id);
  return { owner, cars: cars.filter(({ id }) => link.carId === null || link.carId === id) };
}

/** An owner who speaks through a link, as those deeds ask for one that people do with keys too. */
export function ownerCaller({ id, organisationId, name }: PageOwner): Caller {
  const author = { id: `owner:${id}`, name };
  return { organisationId, keyId: author.id, scope: 'log', author };
}

/** The car that a link may say something about; anybody else's is not found. */
export async function ownCarOf(
  context: Context,
  token: string,
  carId: string,
): Promise<{ car: PageCar; owner: PageOwner; logger: Logger }> {
  const opened = await openPage(context, token);
  if (opened === null) throw notFound('page');
  const { owner, cars } = opened;
  const car = cars.find(({ id }) => id === carId);
  if (car === undefined) throw notFound('car');
  const { organisationId } = owner;
  return { car, owner, logger: { organisationId, by: `owner:${owner.id}` } };
}
