import { Refused } from '../../domain/refusal.ts';
import { plainRegistration } from '../../domain/tables/plain-registration.ts';
import type { SearchableCarRow } from '../../store/cars/search-rows.ts';
import { searchableCars } from '../../store/cars/search-rows.ts';
import type { Sql } from '../../store/database/sql.ts';

const AT_ONCE = 1000;

/** Among whose cars a registration is looked for: one owner's, leaving out the car itself, or those of all. */
export type Among = { readonly ownerId: string; readonly except?: string | undefined } | 'all';

/**
 * Refuses a car whose new registration, written in whatever way, is that of a car in care: recorded twice, it
 * would be written about twice. One of the same owner is the same car; one of another may have been sold,
 * or its registration given to another car, which only people can tell.
 */
export async function refuseKnownCar(
  sql: Sql,
  organisationId: string,
  registration: string,
  among: Among,
): Promise<void> {
  const known = await carOf(sql, organisationId, registration, among);
  if (known === null) return;
  const whose =
    among === 'all'
      ? `${known.registration} is in care already as the car of ${known.ownerName}. If it was sold, say so on its page.`
      : `${known.registration} is in care already: see GET /v1/cars/${known.id}.`;
  const detail = `${whose} If this is another car with the same registration, say so (another: true).`;
  throw new Refused({
    kind: 'conflict',
    detail,
    faults: [{ pointer: '#/registration', detail }],
  });
}

async function carOf(
  sql: Sql,
  organisationId: string,
  registration: string,
  among: Among,
): Promise<SearchableCarRow | null> {
  const plain = plainRegistration(registration);
  const { ownerId, except } = among === 'all' ? {} : among;
  for (let after = ''; ;) {
    const rows = await searchableCars(sql, organisationId, { after, ownerId }, AT_ONCE);
    const found = rows.find(
      (row) => row.id !== except && plainRegistration(row.registration) === plain,
    );
    if (found !== undefined) return found;
    if (rows.length < AT_ONCE) return null;
    after = rows.at(-1)?.id ?? after;
  }
}
