import type { Topic } from '../domain/round/letter-kind.ts';
import type { CarRecord } from './car-records.ts';
import type { Caller, Deed } from './deed.ts';
import type { OwnerRecord } from './owner-records.ts';
import { showPreferences } from './preferences.ts';
import { listCars } from './read-cars.ts';
import { showOwner } from './read-owners.ts';
import type { OwnerStandingRecord } from './read-standing.ts';
import { showStanding } from './read-standing.ts';

export interface OwnerDeskRecord {
  readonly owner: OwnerRecord;
  /** Topics on which nothing may be written to the present address. */
  readonly refused: Topic[];
  readonly standing: OwnerStandingRecord;
  readonly cars: CarRecord[];
}

const CARS_SHOWN = 100;

/** What the shop knows of one owner: the address and whether it takes mail, refusals, cars. */
export async function readOwnerDesk(
  deed: Deed,
  caller: Caller,
  id: string,
): Promise<OwnerDeskRecord> {
  const owner = await showOwner(deed, caller, id);
  const { refused } = await showPreferences(deed, caller, id);
  const standing = await showStanding(deed, caller, id);
  const { items } = await listCars(deed, caller, { ownerId: id, limit: CARS_SHOWN });
  return { owner, refused, standing, cars: items };
}
