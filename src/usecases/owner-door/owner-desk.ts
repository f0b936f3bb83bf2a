import type { Day } from '../../domain/calendar/day.ts';
import type { Topic } from '../../domain/round/letter-kind.ts';
import { wasToldToStay } from '../../domain/round/letters-owed.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import type { CarRecord } from '../own/car-records.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page } from '../context/paging.ts';
import type { TrailRecord } from '../trail/read-trail.ts';
import { readTrail } from '../trail/read-trail.ts';
import type { OwnerRecord } from '../own/owner-records.ts';
import { showPreferences } from '../owners/preferences.ts';
import { listCars } from '../cars/read-cars.ts';
import type { RemovedCar } from '../cars/remove-car.ts';
import { removedCars } from '../cars/remove-car.ts';
import type { OrganisationRecord } from '../organisations/organisations.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import type { StayingRecord } from '../own/read-staying.ts';
import { stayingOf } from '../own/read-staying.ts';
import { showOwner } from '../owners/read-owners.ts';
import type { OwnerStandingRecord } from '../owners/read-standing.ts';
import { showStanding } from '../owners/read-standing.ts';

export interface OwnerDeskRecord {
  readonly owner: OwnerRecord;
  /** Topics on which nothing may be written to the present address. */
  readonly refused: Topic[];
  readonly standing: OwnerStandingRecord;
  readonly cars: CarRecord[];
  /** Those that were removed as mistakes and can come back. */
  readonly removed: RemovedCar[];
  /** Those of them whose tops must not be moved. */
  readonly staying: StayingRecord[];
  /** The day of the latest letter that said so of them; null where one of them waits to be told of. */
  readonly staysToldOn: Day | null;
  /** Who looks after them, as a letter names it. */
  readonly organisation: Pick<OrganisationRecord, 'name' | 'kind' | 'phone'>;
  /** The latest changes of what is known of the owner, the newest first. */
  readonly trail: Page<TrailRecord>;
}

const CARS_SHOWN = 100;
const CHANGES_SHOWN = 10;

/** What the shop knows of one owner: the address and whether it takes mail, refusals, cars. */
export async function readOwnerDesk(
  context: Context,
  caller: Caller,
  id: string,
): Promise<OwnerDeskRecord> {
  const owner = await showOwner(context, caller, id);
  const { refused } = await showPreferences(context, caller, id);
  const standing = await showStanding(context, caller, id);
  const { items } = await listCars(context, caller, { ownerId: id, limit: CARS_SHOWN });
  const carIds = items.map((car) => car.id);
  const { organisationId } = caller;
  const staying = await stayingOf(context.store.sql, organisationId, carIds, context.now());
  const { name, kind, phone } = await showOrganisation(context, caller);
  const organisation = { name, kind, phone };
  const trail = await readTrail(context, caller, { ownerId: id, limit: CHANGES_SHOWN });
  const staysToldOn = await toldOn(context, staying);
  const removed = await removedCars(context, caller, id);
  const cars = items;
  return { owner, refused, standing, cars, removed, staying, staysToldOn, organisation, trail };
}

async function toldOn(context: Context, staying: readonly StayingRecord[]): Promise<Day | null> {
  const carIds = staying.map(({ carId }) => carId);
  const { cars } = await loadCarFacts(context.store.sql, carIds, context.now(), false);
  if (cars.some((car) => !wasToldToStay(car))) return null;
  const days = cars.flatMap(({ id, owner }) =>
    owner.staysTold.filter(({ carId }) => carId === id).map(({ on }) => on),
  );
  return days.sort().at(-1) ?? null;
}
