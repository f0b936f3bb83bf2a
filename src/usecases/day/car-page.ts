import type { FoldFloor } from '../../domain/advice/fold-floor.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { foldedClock } from '../../domain/folding/clock.ts';
import type { FoldedClock } from '../../domain/folding/clock.ts';
import type { Spell } from '../../domain/folding/spells.ts';
import { Refused } from '../../domain/refusal.ts';
import { isUnseen } from '../../store/sharing/sight.ts';
import { latestCalls } from '../../store/cars/car-page-rows.ts';
import type { CallOutcome } from '../../domain/calls/earlier-calls.ts';
import { newestEntries } from '../../store/cars/owner-page-rows.ts';
import type { CarRecord } from '../own/car-records.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page } from '../context/paging.ts';
import type { TrailRecord } from '../trail/read-trail.ts';
import { readTrail } from '../trail/read-trail.ts';
import type { EntryRecord } from '../cars/log-position.ts';
import { entryRecordOf } from '../cars/log-position.ts';
import { showCar } from '../cars/read-cars.ts';
import { showOwner } from '../owners/read-owners.ts';
import { listSpells, showPosition } from '../cars/read-position.ts';
import { listTops } from '../tops/read-tops.ts';
import { listVisits } from '../visits/read-visits.ts';
import { topFloor } from '../own/top-floor.ts';
import type { TopRecord } from '../own/top-records.ts';
import type { VisitRecord } from '../own/visit-records.ts';

export interface CarPageRecord {
  readonly now: Instant;
  readonly today: Day;
  readonly car: CarRecord;
  /** Empty for one who was erased. */
  readonly ownerName: string;
  /** The owner was erased: nobody is left to be rung or written to. */
  readonly erased: boolean;
  readonly clock: FoldedClock;
  /** The owner has not shared with this club where the top stands. */
  readonly unseen: boolean;
  /** The newest entries of the position log that count, the newest first. */
  readonly entries: EntryRecord[];
  /** The latest calls to the owner about this car, the newest first. */
  readonly calls: {
    readonly id: string;
    readonly on: Day;
    readonly outcome: CallOutcome;
    readonly notes: string | null;
  }[];
  /** Hours folded in the last year, and the longest of them without a break. */
  readonly folded: { readonly hours: number; readonly longest: number };
  /** Where the top stood in the last year, oldest first. */
  readonly spells: Spell[];
  /** How cold is too cold for folding the top that is on the car; null where none is. */
  readonly floor: FoldFloor | null;
  /** The latest changes of the car's records, the newest first. */
  readonly trail: Page<TrailRecord>;
  /** The newest top first, each with its visits, the newest first. */
  readonly tops: { readonly top: TopRecord; readonly visits: VisitRecord[] }[];
}

const NOTHING_SEEN = { items: [], foldedHours: 0, longestFoldedHours: 0 };
const YEAR_HOURS = 365 * 24;
const TOPS_SHOWN = 50;
const VISITS_SHOWN = 200;
const ENTRIES_SHOWN = 8;
const CALLS_SHOWN = 5;
const CHANGES_SHOWN = 10;

/** The history of a car, as it is printed for the file or for whoever buys the car. */
export async function readCarPage(
  context: Context,
  caller: Caller,
  id: string,
): Promise<CarPageRecord> {
  const now = context.now();
  const car = await showCar(context, caller, id);
  const tops = await listTops(context, caller, { carId: id, limit: TOPS_SHOWN });
  const { sql } = context.store;
  const ownerName = await ownerNameOf(context, caller, car.ownerId);
  const unseen = await isUnseen(sql, id);
  const entries = unseen ? [] : await newestEntries(sql, id, ENTRIES_SHOWN, null);
  const calls = await latestCalls(sql, caller.organisationId, id, CALLS_SHOWN);
  const year = { from: addHours(now, -YEAR_HOURS), to: now };
  const spells = unseen ? NOTHING_SEEN : await listSpells(context, caller, id, year);
  const today = dayIn(car.timeZone, now);
  const fitted = tops.items.find(({ retiredOn }) => retiredOn === null);
  const { foldFloorCelsius } = car.handbook;
  return {
    now,
    today,
    car,
    ownerName: ownerName ?? '',
    erased: ownerName === null,
    clock: unseen ? emptyClock(car, now) : await showPosition(context, caller, id),
    unseen,
    entries: entries.map(entryRecordOf),
    calls: calls.map(({ calledOn, ...call }) => ({ on: calledOn, ...call })),
    folded: { hours: spells.foldedHours, longest: spells.longestFoldedHours },
    spells: spells.items,
    floor:
      fitted === undefined
        ? null
        : await topFloor(sql, caller.organisationId, fitted, foldFloorCelsius, today),
    trail: await readTrail(context, caller, { carId: id, limit: CHANGES_SHOWN }),
    tops: await Promise.all(
      tops.items.toReversed().map(async (top) => {
        const visits = await listVisits(context, caller, { topId: top.id, limit: VISITS_SHOWN });
        return { top, visits: visits.items.toSorted(newestFirst) };
      }),
    ),
  };
}

/** The clock of a car of which nothing is logged. */
function emptyClock({ timeZone, handbook }: CarRecord, at: Instant): FoldedClock {
  const limitDays = handbook.foldedLimitDays;
  return foldedClock({ zone: timeZone, limitDays, entries: [], at });
}

/** An owner who was erased has no name left. */
async function ownerNameOf(context: Context, caller: Caller, id: string): Promise<string | null> {
  try {
    return (await showOwner(context, caller, id)).name;
  } catch (fault) {
    if (fault instanceof Refused) return null;
    throw fault;
  }
}

function newestFirst(a: VisitRecord, b: VisitRecord): number {
  return dayOf(a) < dayOf(b) ? 1 : -1;
}

function dayOf({ doneOn, plannedOn }: VisitRecord): Day {
  return doneOn ?? plannedOn ?? '';
}
