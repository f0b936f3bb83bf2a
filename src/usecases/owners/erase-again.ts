import { Refused } from '../../domain/refusal.ts';
import {
  erasedBefore,
  erasedIn,
  forgetErased,
  keepErased,
} from '../../store/database/erased-file.ts';
import { sqliteFileOf } from '../../store/database/sqlite-store.ts';
import { erasedOwners, ownerOfAny } from '../../store/owners/erasure-rows.ts';
import type { Context } from '../context/context.ts';
import { programCaller } from '../context/context.ts';
import { refuseWhileServed } from '../context/no-server.ts';
import { eraseOwner } from './erase-owner.ts';

/**
 * Erases again, in a database that was restored from a backup, whom the database before it had erased.
 * On SQLite `restore` left them beside the file; on PostgreSQL, which is restored by its own tools,
 * `memory` is the file that the server keeps of them. Gives how many there were. What fails is tried
 * again at the next start.
 */
export async function eraseAgain(
  context: Context,
  databaseUrl: string,
  memory: string | null,
): Promise<number> {
  const erased = memory === null ? 0 : await eraseThese(context, erasedIn(memory));
  if (!databaseUrl.startsWith('file:')) return erased;
  const file = sqliteFileOf(databaseUrl);
  const again = await eraseThese(context, erasedBefore(file));
  forgetErased(file);
  return erased + again;
}

/**
 * Erases whom a file names, as `keepErasures` wrote it; those who are erased or unknown are left. Refused while
 * a server uses the records: it would write to whoever is not erased yet.
 */
export async function eraseFrom(context: Context, file: string): Promise<number> {
  await refuseWhileServed(context.store);
  return eraseThese(context, erasedIn(file));
}

/**
 * Keeps in a file, away from the database, which owners it has erased, besides those that the file
 * knows. Gives how many it knows now.
 */
export async function keepErasures(context: Context, file: string): Promise<number> {
  return keepErased(file, await erasedOwners(context.store.sql));
}

async function eraseThese(context: Context, ids: readonly string[]): Promise<number> {
  let erased = 0;
  for (const id of ids) {
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
  return erased;
}
