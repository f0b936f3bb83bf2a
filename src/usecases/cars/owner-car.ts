import type { PageCar, PageOwner } from '../../store/cars/owner-page-rows.ts';
import { pageCars, pageOrganisation, pageOwner } from '../../store/cars/owner-page-rows.ts';
import { notFound } from '../../domain/refusal.ts';
import { findLink } from '../../store/letters/link-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Recorder } from './log-position.ts';
import { hashOf } from '../context/secret.ts';

/** An owner's page with the cars that may be spoken of on it. */
export interface OpenPage {
  readonly owner: PageOwner;
  readonly cars: readonly PageCar[];
  /** Who speaks through it. */
  readonly caller: Caller;
  /** Whether it is a link of the owner's own, bound to no single car. */
  readonly whole: boolean;
}

/** What opens an owner's page: a link that was handed out, or a private owner's own sign-in. */
export type OwnerDoor = { readonly token: string } | { readonly signedIn: Caller };

/** The page that a door opens, or null; a link of another purpose opens none, nor a shop's sign-in. */
export function openPage(context: Context, door: OwnerDoor): Promise<OpenPage | null> {
  return 'token' in door ? openByLink(context, door.token) : openByOwner(context, door.signedIn);
}

async function openByLink(context: Context, token: string): Promise<OpenPage | null> {
  const { sql } = context.store;
  const link = await findLink(sql, 'owner-page', hashOf(token), context.now());
  if (link === null || link.ownerId === null) return null;
  const owner = await pageOwner(sql, link.organisationId, link.ownerId);
  if (owner === null) return null;
  const cars = await pageCars(sql, link.organisationId, owner.id);
  return {
    owner,
    cars: cars.filter(({ id }) => link.carId === null || link.carId === id),
    caller: ownerCaller(owner),
    whole: link.carId === null,
  };
}

/** An owner who speaks through a link, as those deeds ask for one that people do with keys too. */
export function ownerCaller({
  id,
  organisationId,
  name,
}: Pick<PageOwner, 'organisationId' | 'name'> & { readonly id: string }): Caller {
  const author = { id: `owner:${id}`, name };
  return { organisationId, keyId: author.id, scope: 'log', author };
}

async function openByOwner(context: Context, caller: Caller): Promise<OpenPage | null> {
  const { sql } = context.store;
  const owner = await pageOrganisation(sql, caller.organisationId);
  if (owner?.organisationKind !== 'private') return null;
  const cars = await pageCars(sql, caller.organisationId, null);
  // A household's records are its own, whichever of them has the car.
  return { owner, cars: cars.map((car) => ({ ...car, ownerSince: null })), caller, whole: false };
}

/** The car that may be spoken of through a door; anybody else's is not found. */
export async function ownCarOf(
  context: Context,
  door: OwnerDoor,
  carId: string,
): Promise<{ car: PageCar; caller: Caller; recorder: Recorder }> {
  const opened = await openPage(context, door);
  if (opened === null) throw notFound('page');
  const { cars, caller } = opened;
  const car = cars.find(({ id }) => id === carId);
  if (car === undefined) throw notFound('car');
  const { organisationId, keyId } = caller;
  return { car, caller, recorder: { organisationId, by: keyId } };
}
