import { isWrittenAnew } from '../../domain/round/why-cancelled.ts';
import type { UnsentLetterRow } from '../../store/letters/letter-lists.ts';
import { cancelledAmong, unsentLetters } from '../../store/letters/letter-lists.ts';
import type { Caller, Context } from '../context/context.ts';

export type { UnsentLetterRow } from '../../store/letters/letter-lists.ts';

/** What a deed would do to the letters that wait. */
export interface Effects {
  readonly cancelled: readonly (UnsentLetterRow & {
    /** The next round writes it anew where it is still owed. */
    readonly roundWritesAnew: boolean;
  })[];
  readonly written: readonly UnsentLetterRow[];
}

/** Ends the transaction of a trial, so that nothing of it stays. */
class TriedOut extends Error {
  readonly effects: Effects;

  constructor(effects: Effects) {
    super('tried out');
    this.effects = effects;
  }
}

/**
 * Does a deed and takes all of it back, to see which letters it cancels and writes: the deed itself
 * says so, there is no second telling of what it would do. Of letters that the caller may not see
 * nothing is told. Refusals come through.
 */
export async function tryOut(
  { store }: Context,
  { organisationId }: Caller,
  work: () => Promise<unknown>,
): Promise<Effects> {
  try {
    return await store.together(async () => {
      const before = await unsentLetters(store.sql, organisationId);
      await work();
      const after = await unsentLetters(store.sql, organisationId);
      const without = (rows: readonly UnsentLetterRow[], others: readonly UnsentLetterRow[]) => {
        const ids = new Set(others.map(({ id }) => id));
        return rows.filter(({ id, seen }) => seen && !ids.has(id));
      };
      const gone = without(before, after);
      const whys = await cancelledAmong(
        store.sql,
        gone.map(({ id }) => id),
      );
      const anew = new Set(
        whys
          .filter(({ kind, cancelledWhy }) => isWrittenAnew(kind, cancelledWhy))
          .map(({ id }) => id),
      );
      throw new TriedOut({
        cancelled: gone.map((row) => ({ ...row, roundWritesAnew: anew.has(row.id) })),
        written: without(after, before),
      });
    });
  } catch (fault) {
    if (fault instanceof TriedOut) return fault.effects;
    throw fault;
  }
}
