import type { Sql } from '../../store/database/sql.ts';
import { answers } from '../../store/database/sql.ts';

/** Somebody for whom the work failed, and why, in words that name nobody. */
export interface Aside {
  readonly id: string;
  readonly reason: string;
}

/**
 * Does the work for many at once; where it fails, for one half and for the other, until those for whom
 * it fails are alone: they are set aside with the reason, and all others are served. A database that
 * does not answer is nobody's fault: then it throws what the work threw.
 */
export async function each<Result>(
  sql: Sql,
  ids: readonly string[],
  work: (ids: readonly string[]) => Promise<Result>,
): Promise<{ results: Result[]; aside: Aside[] }> {
  try {
    return { results: [await work(ids)], aside: [] };
  } catch (fault) {
    const alive = await answers(sql).catch(() => false);
    if (!alive) throw fault;
    const [id] = ids;
    if (ids.length === 1 && id !== undefined) {
      return { results: [], aside: [{ id, reason: reasonOf(fault) }] };
    }
    const half = Math.ceil(ids.length / 2);
    const parts = [
      await each(sql, ids.slice(0, half), work),
      await each(sql, ids.slice(half), work),
    ];
    return {
      results: parts.flatMap(({ results }) => results),
      aside: parts.flatMap(({ aside }) => aside),
    };
  }
}

function reasonOf(fault: unknown): string {
  const words = fault instanceof Error ? fault.message : String(fault);
  return words.replaceAll(/\s+/g, ' ').slice(0, 300);
}
