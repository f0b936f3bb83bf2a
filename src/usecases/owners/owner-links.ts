import { LOOK_NOW } from '../../domain/round/next-look.ts';
import {
  lockCarsOfOwner,
  openRoundLettersTo,
  revokeLinks,
} from '../../store/cars/owner-page-rows.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import { storeLinks } from '../../store/letters/link-rows.ts';
import { storeLooks } from '../../store/cars/look-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { newLink } from '../context/links.ts';
import { ownOwner } from '../own/owner-records.ts';

export interface OwnerLinkRecord {
  readonly purpose: 'owner-page';
  /** Shown this once: only a hash of it is kept. */
  readonly url: string;
  readonly createdAt: string;
}

/** Makes a further link to an owner's page; those given out before stay good. */
export async function makeOwnerLink(
  context: Context,
  caller: Caller,
  ownerId: string,
): Promise<OwnerLinkRecord> {
  const { organisationId } = caller;
  const owner = await ownOwner(context.store.records, caller, ownerId);
  const createdAt = context.now();
  const { url, row } = newLink(context.publicUrl, createdAt, {
    organisationId,
    ownerId: owner.id,
    carId: null,
    subject: null,
    purpose: 'owner-page',
  });
  await context.store.writeSql((sql) => storeLinks(sql, [row]));
  return { purpose: 'owner-page', url, createdAt };
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
    const open = await openRoundLettersTo(sql, owner.id);
    await cancelLetters(sql, open, 'its links were revoked', at);
    await storeLooks(
      sql,
      carIds.map((id) => ({ id, lookAt: LOOK_NOW })),
    );
  });
}
