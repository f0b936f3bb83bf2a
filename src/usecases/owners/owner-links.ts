import { invalid } from '../../domain/refusal.ts';
import {
  lockCarsOfOwner,
  openRoundLettersTo,
  pageCars,
  noteLinksRevoked,
  revokeLinks,
} from '../../store/cars/owner-page-rows.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import { storeLinks } from '../../store/letters/link-rows.ts';
import { lookAgain } from '../../store/cars/look-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { newLink } from '../context/links.ts';
import { ownOwner } from '../own/owner-records.ts';

export interface OwnerLinkRecord {
  readonly purpose: 'owner-page';
  /** Shown this once: only a hash of it is kept. */
  readonly url: string;
  readonly createdAt: string;
  readonly expiresAt: string | null;
  /** The only car that it opens; all of the owner's where null. */
  readonly carId: string | null;
}

/** What a link that is made by hand is to be good for. */
export interface LinkWish {
  readonly carId?: string | null | undefined;
  readonly days?: number | undefined;
}

/** A card is printed once and lies in the car for years (shop rule). */
const HAND_MADE_DAYS = 1_100;

/** Makes a further link to an owner's page; those given out before stay good. */
export async function makeOwnerLink(
  context: Context,
  caller: Caller,
  ownerId: string,
  { carId = null, days = HAND_MADE_DAYS }: LinkWish = {},
): Promise<OwnerLinkRecord> {
  const { organisationId } = caller;
  const owner = await ownOwner(context.store.records, caller, ownerId);
  const cars = carId === null ? [] : await pageCars(context.store.sql, organisationId, owner.id);
  if (carId !== null && !cars.some(({ id }) => id === carId)) {
    throw invalid('#/carId', 'This owner has no such car.');
  }
  const createdAt = context.now();
  const { url, row } = newLink(context.publicUrl, createdAt, {
    organisationId,
    ownerId: owner.id,
    carId,
    subject: null,
    purpose: 'owner-page',
    days,
    byHand: true,
  });
  await context.store.writeSql((sql) => storeLinks(sql, [row]));
  return { purpose: 'owner-page', url, createdAt, expiresAt: row.expiresAt, carId };
}

/**
 * Ends every link that opens something of this owner. Stop links live on, because a reader must be
 * able to refuse through any old letter. Unsent letters that the round can write anew are cancelled,
 * so that none arrives with a dead link; the next round writes them with new ones.
 */
export async function revokeOwnerLinks(
  context: Context,
  caller: Caller,
  ownerId: string,
): Promise<void> {
  const owner = await ownOwner(context.store.records, caller, ownerId);
  const at = context.now();
  await context.store.writeSql(async (sql) => {
    const carIds = await lockCarsOfOwner(sql, owner.id);
    await revokeLinks(sql, owner.id, at);
    await noteLinksRevoked(sql, owner.id, at);
    const open = await openRoundLettersTo(sql, owner.id);
    await cancelLetters(sql, open, 'its links were revoked', at);
    await lookAgain(sql, carIds);
  });
}
