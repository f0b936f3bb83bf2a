import type { FoldFloor } from '../../domain/advice/fold-floor.ts';
import { notFound } from '../../domain/refusal.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { OrganisationKind } from '../../domain/organisation-kind.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addMinutes } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { Keeping, KeepingQuestion } from '../../domain/lubrication/keeping.ts';
import { untoldOf } from '../../domain/lubrication/keeping.ts';
import { askedSince } from '../../domain/lubrication/asked-since.ts';
import type { LookDue } from '../../domain/lubrication/look-again.ts';
import type { PageCar } from '../../store/cars/owner-page-rows.ts';
import { moveFactsOf } from '../../store/cars/move-rows.ts';
import { newestEntries, toldVisit } from '../../store/cars/owner-page-rows.ts';
import { entryOf } from '../../store/cars/position-rows.ts';
import { actingAs } from '../context/acting.ts';
import type { Caller, Context } from '../context/context.ts';
import type { EntryRecord, NewEntry } from '../cars/log-position.ts';
import { entryRecordOf, correctEntry, logPosition, withdrawEntry } from '../cars/log-position.ts';
import type { OwnerDoor } from '../cars/owner-car.ts';
import { openPage, ownCarOf } from '../cars/owner-car.ts';
import { OWNER_TOLD } from '../own/visit-notes.ts';
import type { PositionRecord } from '../cars/read-position.ts';
import { showPosition } from '../cars/read-position.ts';
import { showTop } from '../tops/read-tops.ts';
import { organisationFigures } from '../figures/shop-rules.ts';
import { topFloor } from '../own/top-floor.ts';
import type { LubricationRecord } from '../own/top-records.ts';

export interface OwnerCarRecord {
  readonly id: string;
  readonly topId: string | null;
  readonly registration: string;
  readonly timeZone: string;
  readonly clock: PositionRecord;
  /** When she got the car: nothing earlier is told of it; null for as far back as the records go. */
  readonly ownerSince: Instant | null;
  /** What nobody has told yet of how it is kept. */
  readonly untold: readonly KeepingQuestion[];
  /** The newest entries that count, the newest first. */
  readonly entries: EntryRecord[];
  readonly top: {
    readonly lubrication: LubricationRecord;
    /** The visit whose find made the oil due, where the due day had gone by before it. */
    readonly askedSince: Day | null;
    readonly look: LookDue | null;
    /** How cold is too cold for folding it, and who says so. */
    readonly floor: FoldFloor;
    /** The owner told today that the pivots were oiled, and may still take it back. */
    readonly toldToday: boolean;
    readonly powered: boolean;
    readonly material: string;
    readonly window: string;
  } | null;
}

export interface OwnerPageRecord {
  readonly now: Instant;
  readonly organisation: {
    readonly id: string;
    readonly name: string;
    readonly kind: OrganisationKind;
    readonly phone: string | null;
  };
  readonly owner: { readonly name: string; readonly language: string };
  /** Hours raised that end a folded stretch, as this organisation rules. */
  readonly restHours: number;
  /** Whether the owner is given all that is held about her through this door. */
  readonly givesData: boolean;
  readonly cars: OwnerCarRecord[];
}

const ENTRIES_SHOWN = 5;
// A button that was pressed twice means one thing said once.
const SAID_TWICE_MINUTES = 1;

/** Everything on an owner's page, or null where the door opens none. Reading changes nothing. */
export async function readOwnerPage(
  context: Context,
  door: OwnerDoor,
): Promise<OwnerPageRecord | null> {
  const opened = await openPage(context, door);
  if (opened === null) return null;
  const { owner, cars, caller, whole } = opened;
  const { sql } = context.store;
  const { properRestHours } = await organisationFigures(sql, owner.organisationId, 'folding');
  return {
    now: context.now(),
    organisation: {
      id: owner.organisationId,
      name: owner.organisationName,
      kind: owner.organisationKind,
      phone: owner.phone,
    },
    owner: { name: owner.name, language: owner.language },
    restHours: properRestHours,
    givesData: whole,
    cars: await Promise.all(cars.map((car) => carRecord(context, caller, car))),
  };
}

/** Logs where the owner says the top is. The same said twice in a minute is one entry. */
export async function logOwnPosition(
  context: Context,
  door: OwnerDoor,
  carId: string,
  entry: NewEntry,
): Promise<void> {
  const { car, recorder } = await ownCarOf(context, door, carId);
  const [last] = await newestEntries(context.store.sql, car.id, 1, car.ownerSince);
  const before = last === undefined ? null : entryRecordOf(last);
  const repeated =
    before !== null &&
    before.at <= entry.at &&
    before.at >= addMinutes(entry.at, -SAID_TWICE_MINUTES) &&
    before.position === entry.position &&
    before.damp === (entry.damp ?? false) &&
    before.coverOn === (entry.coverOn ?? null);
  if (!repeated) await logPosition(context, recorder, car.id, entry);
}

/** Puts an entry right that was wrong. */
export async function correctOwnEntry(
  context: Context,
  door: OwnerDoor,
  carId: string,
  entryId: string,
  entry: Omit<NewEntry, 'at'> & { readonly at?: Instant | undefined },
): Promise<void> {
  const { car, caller, recorder } = await ownCarOf(context, door, carId);
  await requireOwnEntry(context, car, entryId);
  await actingAs(context, caller, () => correctEntry(context, recorder, car.id, entryId, entry));
}

/** Takes back an entry that was wrong. */
export async function withdrawOwnEntry(
  context: Context,
  door: OwnerDoor,
  carId: string,
  entryId: string,
): Promise<void> {
  const { car, caller, recorder } = await ownCarOf(context, door, carId);
  await requireOwnEntry(context, car, entryId);
  await actingAs(context, caller, () => withdrawEntry(context, recorder, car.id, entryId));
}

/** What was logged before she had the car is her predecessor's, to read and to change. */
async function requireOwnEntry(
  { store }: Context,
  { id, ownerSince }: PageCar,
  entryId: string,
): Promise<void> {
  const entry = await entryOf(store.sql, id, entryId);
  if (entry !== null && ownerSince !== null && entry.at < ownerSince) throw notFound('entry');
}

async function carRecord(context: Context, reader: Caller, car: PageCar): Promise<OwnerCarRecord> {
  const { sql } = context.store;
  const { id, registration, timeZone, topId } = car;
  const rows = await newestEntries(sql, id, ENTRIES_SHOWN, car.ownerSince);
  const today = dayIn(timeZone, context.now());
  return {
    id,
    topId,
    registration,
    timeZone,
    clock: await showPosition(context, reader, id),
    ownerSince: car.ownerSince,
    untold: untoldOf(car as Pick<Keeping, KeepingQuestion>),
    entries: rows.map(entryRecordOf),
    top: topId === null ? null : await topOnPage(context, reader, { ...car, topId }, today),
  };
}

async function topOnPage(
  context: Context,
  reader: Caller,
  { id, topId, foldFloorCelsius }: PageCar & { readonly topId: string },
  today: Day,
): Promise<NonNullable<OwnerCarRecord['top']>> {
  const { sql } = context.store;
  const top = await showTop(context, reader, topId);
  const found = (await moveFactsOf(sql, [id])).get(id)?.pivots ?? [];
  const { fittedOn, lubrication } = top;
  return {
    lubrication,
    askedSince: askedSince(found, { fittedOn, dueOn: lubrication.dueOn }),
    look: top.look,
    floor: await topFloor(sql, reader.organisationId, top, foldFloorCelsius, today),
    powered: top.powered,
    material: top.cover.material,
    window: top.window,
    toldToday: (await toldVisit(sql, topId, today, OWNER_TOLD)) !== null,
  };
}
