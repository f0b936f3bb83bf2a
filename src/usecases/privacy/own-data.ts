import { findLink } from '../../store/letters/link-rows.ts';
import type { Context } from '../context/context.ts';
import { hashOf } from '../context/secret.ts';
import { ownerCaller } from '../cars/owner-car.ts';
import { ownOwner } from '../own/owner-records.ts';
import type { OwnerDataRecord } from './owner-data.ts';
import { ownerData } from './owner-data.ts';
import type { PrivacyNotice } from './privacy-notice.ts';
import { readPrivacyNotice } from './privacy-notice.ts';

/**
 * What an owner's own link gives of her data; null where the link opens nothing. A link that is bound to
 * one car lies in that car and may be in anybody's hand: it opens the car's page, and not this.
 */
export async function readOwnData(
  context: Context,
  token: string,
): Promise<{
  readonly data: OwnerDataRecord;
  readonly notice: PrivacyNotice;
  readonly language: string;
} | null> {
  const { store } = context;
  const link = await findLink(store.sql, 'owner-page', hashOf(token), context.now());
  if (link === null || link.ownerId === null || link.carId !== null) return null;
  const { organisationId, ownerId } = link;
  const caller = ownerCaller({ id: ownerId, organisationId, name: '' });
  const owner = await ownOwner(store.records, caller, ownerId);
  const notice = await readPrivacyNotice(context, organisationId);
  if (notice === null || owner.erasedAt !== null) return null;
  return { data: await ownerData(context, caller, owner), notice, language: owner.language };
}
