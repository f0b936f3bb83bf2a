import { Refused } from '../../domain/refusal.ts';
import { erasedBefore, forgetErased } from '../../store/database/erased-file.ts';
import { sqliteFileOf } from '../../store/database/sqlite-store.ts';
import { ownerOfAny } from '../../store/owners/erasure-rows.ts';
import type { Context } from '../context/context.ts';
import { programCaller } from '../context/context.ts';
import { eraseOwner } from './erase-owner.ts';

/**
 * Erases again, in a database that was restored from a backup, whom the database before it had erased.
 * Gives how many there were. What fails is tried again at the next start.
 */
export async function eraseAgain(context: Context, databaseUrl: string): Promise<number> {
  if (!databaseUrl.startsWith('file:')) return 0;
  const file = sqliteFileOf(databaseUrl);
  let erased = 0;
  for (const id of erasedBefore(file)) {
    const owner = await ownerOfAny(context.store.sql, id);
    if (owner === null || owner.erasedAt !== null) continue;
    const caller = programCaller(owner.organisationId, 'restore');
    try {
      await eraseOwner(context, caller, id, '*');
      erased++;
    } catch (fault) {
      // Somebody else erased them meanwhile: that is what was wanted.
      if (!(fault instanceof Refused)) throw fault;
    }
  }
  forgetErased(file);
  return erased;
}
