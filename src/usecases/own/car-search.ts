import { searchFor } from '../../domain/search/match.ts';
import type { SearchableCarRow } from '../../store/cars/search-rows.ts';
import { searchableCars } from '../../store/cars/search-rows.ts';
import type { Sql } from '../../store/database/sql.ts';

// So many cars are held at once, however many an organisation has.
const CARS_AT_ONCE = 1_000;

/**
 * The first `most` cars after an id that fit what was searched for, in the order they were added.
 * Reads only as far as it must.
 */
export async function searchCars(
  sql: Sql,
  organisationId: string,
  asked: { readonly search: string; readonly after: string; readonly ownerId?: string | undefined },
  most: number,
): Promise<SearchableCarRow[]> {
  const fits = searchFor(asked.search);
  if (fits === null) return [];
  const found: SearchableCarRow[] = [];
  let { after } = asked;
  for (;;) {
    const { ownerId } = asked;
    const rows = await searchableCars(sql, organisationId, { after, ownerId }, CARS_AT_ONCE);
    found.push(...rows.filter(fits));
    const last = rows.at(-1);
    if (found.length >= most) return found.slice(0, most);
    if (last === undefined || rows.length < CARS_AT_ONCE) return found;
    after = last.id;
  }
}
