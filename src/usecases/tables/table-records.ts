import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import type { OwnerThere } from '../../store/records/import-rows.ts';
import { lubricationColumns } from '../own/lubrication-record.ts';
import type { OrganisationRecord } from '../organisations/organisations.ts';
import type { SetRecord } from '../records/record-set.ts';
import { addressHashOf } from '../context/secret.ts';
import { newId } from '../context/new-id.ts';
import { TABLE_TOLD } from '../own/visit-notes.ts';
import type { CarLine } from './table-rows.ts';

/** A line of a table with the record of its car. */
export interface CarOfLine {
  readonly line: CarLine;
  readonly record: SetRecord & {
    readonly id: string;
    readonly timeZone: string;
    readonly place: string | null;
    readonly salt: string | null;
    readonly use: string | null;
    readonly foldsPerYear: number | null;
    readonly unmovedDays: null;
  };
}

/**
 * The records that the lines of a table make: an owner for each address that is not on record, and a
 * car for each line. Zone and language are the organisation's where they are not given, as in the API.
 */
export function recordsOf(
  lines: readonly CarLine[],
  known: ReadonlyMap<string, Pick<OwnerThere, 'id' | 'timeZone'>>,
  shop: Pick<OrganisationRecord, 'timeZone' | 'language'>,
  usualLimitDays: number,
  at: Instant,
): { owners: SetRecord[]; cars: CarOfLine[] } {
  const all = new Map(known);
  const owners: SetRecord[] = [];
  const cars = lines.map((line) => {
    const { car } = line;
    const address = addressHashOf(car.email);
    let owner = all.get(address);
    if (owner === undefined) {
      owner = { id: newId(), timeZone: car.timeZone ?? shop.timeZone };
      all.set(address, owner);
      owners.push({
        ...owner,
        name: car.name,
        email: car.email,
        phone: car.phone ?? null,
        postalAddress: car.postalAddress ?? null,
        postcode: car.postcode ?? null,
        language: car.language ?? shop.language,
        refusesCalls: false,
        createdAt: at,
        erasedAt: null,
        version: 1,
      });
    }
    return { line, record: carRecord(car, owner, usualLimitDays, at) };
  });
  return { owners, cars };
}

function carRecord(
  car: CarLine['car'],
  owner: Pick<OwnerThere, 'id' | 'timeZone'>,
  usualLimitDays: number,
  at: Instant,
): CarOfLine['record'] {
  return {
    id: newId(),
    ownerId: owner.id,
    registration: car.registration,
    timeZone: car.timeZone ?? owner.timeZone,
    foldedLimitDays: car.foldedLimitDays ?? usualLimitDays,
    foldFloorCelsius: car.foldFloorCelsius ?? null,
    make: car.make ?? null,
    model: car.model ?? null,
    year: car.year ?? null,
    colour: car.colour ?? null,
    place: car.place ?? null,
    salt: car.salt ?? null,
    use: car.use ?? null,
    foldsPerYear: car.foldsPerYear ?? null,
    unmovedDays: null,
    createdAt: at,
    version: 1,
  };
}

/**
 * The tops of the cars that have one, with the pivots of their frames, and their last oilings. Such an
 * oiling is a done visit without readings, as an owner's own is: the table says that the pivots were oiled,
 * and nothing of how they were found, so nothing may count as read, and no trend begins with it.
 */
export function topsOf(
  cars: readonly CarOfLine[],
  patterns: ReadonlyMap<string, readonly PatternPivot[]>,
  own: OwnFigures,
  at: Instant,
): Map<string, SetRecord[]> {
  const tops: SetRecord[] = [];
  const pivots: SetRecord[] = [];
  const visits: SetRecord[] = [];
  for (const { line, record } of cars) {
    const { fittedOn, lubricatedOn = null, framePattern, material, window, powered } = line.car;
    if (fittedOn === undefined) continue;
    const drawn = patterns.get(framePattern ?? '') ?? [];
    for (const [place, { code, side, kind, washersExpected }] of drawn.entries()) {
      const pivot = { code, side, kind, washersExpected, place };
      pivots.push({ id: newId(), carId: record.id, ...pivot, since: fittedOn, retiredOn: null });
    }
    const unread = { fittedOn, lubricatedOn, stiffOrMissing: false };
    const { because, ...lubrication } = lubricationColumns(record, unread, own);
    const topId = newId();
    if (lubricatedOn !== null) visits.push(oilingRecord(topId, record.id, lubricatedOn, at));
    tops.push({
      id: topId,
      carId: record.id,
      fittedOn,
      retiredOn: null,
      framePattern,
      material,
      window,
      powered: powered === undefined ? drawn.some(({ kind }) => kind === 'ram') : powered === 'yes',
      coverName: line.car.coverName ?? null,
      coverColour: line.car.coverColour ?? null,
      makersReference: line.car.makersReference ?? null,
      windowMade: line.car.windowMade ?? null,
      warranties: [],
      because: JSON.parse(because),
      ...lubrication,
      createdAt: at,
      version: 1,
    });
  }
  return new Map([
    ['tops', tops],
    ['pivots', pivots],
    ['visits', visits],
  ]);
}

function oilingRecord(topId: string, carId: string, doneOn: Day, at: Instant): SetRecord {
  return {
    id: newId(),
    topId,
    carId,
    kind: 'lubrication',
    state: 'done',
    plannedOn: null,
    dropOffAt: null,
    readyAt: null,
    doneOn,
    minutes: null,
    swayMm: null,
    diagonalLeftMm: null,
    diagonalRightMm: null,
    breakawayN: null,
    notes: TABLE_TOLD,
    createdAt: at,
    changedAt: null,
    version: 1,
    closedBy: null,
  };
}
