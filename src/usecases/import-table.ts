import { dayIn } from '../domain/calendar/zone.ts';
import type { Fault } from '../domain/refusal.ts';
import { invalid, Refused } from '../domain/refusal.ts';
import { addCar } from './add-car.ts';
import { addOwner } from './add-owner.ts';
import type { Caller, Deed } from './deed.ts';
import type { Tally } from './export-records.ts';
import { fitTop } from './fit-top.ts';
import { listPatterns } from './frame-patterns.ts';
import type { Imported, ImportOptions } from './import-records.ts';
import { deedInside } from './inside.ts';
import { showOrganisation } from './organisations.ts';
import { addressHashOf } from './secret.ts';
import type { CarLine } from './table-rows.ts';
import { carLinesIn, cellFault } from './table-rows.ts';

/** Rows that one table may have: as many as one transaction takes in its time. */
export const MOST_ROWS = 5_000;

/**
 * Takes in a table of cars for one organisation: owners, cars and fitted tops, by the same deeds and
 * under the same rules as over HTTP, all or nothing, refused with every fault by its row and column.
 * Rows with one address are one owner, who may be on record already and is then left as is.
 */
export async function importTable(
  deed: Deed,
  text: string,
  {
    organisation,
    dryRun,
    progress = () => undefined,
  }: ImportOptions & { readonly organisation: string | null },
): Promise<Imported> {
  const caller = await callerNamed(deed, organisation);
  const { lines, faults } = carLinesIn(text);
  if (lines.length > MOST_ROWS) {
    throw refused(`The table has ${lines.length} cars. Import ${MOST_ROWS} at a time at most.`);
  }
  const tally: Tally = { owners: 0, cars: 0, tops: 0 };
  const add = (what: string) => {
    tally[what] = (tally[what] ?? 0) + 1;
  };
  await deed.store.write(async (tx) => {
    const inside = deedInside(deed, tx);
    const owners = await knownOwners(inside, caller, lines);
    const all = [
      ...faults,
      ...ownerFaults(lines),
      ...(await carFaults(inside, caller, lines)),
      ...(await topFaults(inside, caller, lines)),
    ];
    if (all.length > 0) throw new Refused({ kind: 'invalid', faults: byRow(all) });
    for (const [nth, line] of lines.entries()) {
      const { car } = line;
      const address = addressHashOf(car.email);
      let ownerId = owners.get(address);
      if (ownerId === undefined) {
        ownerId = dryRun ? '' : (await addOwner(inside, caller, ownerOf(car))).id;
        owners.set(address, ownerId);
        add('owners');
      }
      add('cars');
      if (car.fittedOn !== undefined) add('tops');
      if (!dryRun) await addCarLine(inside, caller, ownerId, line);
      progress(`${nth + 1} of ${lines.length} cars`);
    }
  });
  return { what: 'table', tally, lettersHeldBack: 0 };
}

async function callerNamed(deed: Deed, name: string | null): Promise<Caller> {
  if (name === null) {
    throw refused('Say whose cars these are: --organisation NAME.');
  }
  const row = await deed.store.records.organisation.findUnique({ where: { name } });
  if (row === null) {
    throw refused(
      `There is no organisation "${name}". Make it with: foldkeep key --organisation "${name}"`,
    );
  }
  return { organisationId: row.id, keyId: 'import', scope: 'full' };
}

function ownerOf({ name, email, phone, timeZone, language }: CarLine['car']) {
  return { name, email, phone, timeZone, language };
}

async function addCarLine(
  deed: Deed,
  caller: Caller,
  ownerId: string,
  { row, car }: CarLine,
): Promise<void> {
  try {
    await addCarWithTop(deed, caller, ownerId, car);
  } catch (fault) {
    if (!(fault instanceof Refused)) throw fault;
    throw invalid(`row ${row}`, fault.message);
  }
}

async function addCarWithTop(
  deed: Deed,
  caller: Caller,
  ownerId: string,
  car: CarLine['car'],
): Promise<void> {
  const { registration, place, salt, use, foldsPerYear, foldedLimitDays } = car;
  const { id } = await addCar(deed, caller, {
    ownerId,
    registration,
    timeZone: car.timeZone,
    handbook: { foldedLimitDays },
    keeping: { place, salt, use, foldsPerYear },
  });
  const { fittedOn, framePattern, material, window } = car;
  if (fittedOn === undefined || framePattern === undefined) return;
  if (material === undefined || window === undefined) return;
  await fitTop(deed, caller, { carId: id, fittedOn, framePattern, cover: { material }, window });
}

/** Owners of these addresses who are on record, by the hash of the address. */
async function knownOwners(
  { store }: Deed,
  { organisationId }: Caller,
  lines: readonly CarLine[],
): Promise<Map<string, string>> {
  const known = new Map<string, string>();
  for (const part of parts([...new Set(lines.map(({ car }) => addressHashOf(car.email)))])) {
    const rows = await store.records.owner.findMany({
      where: { organisationId, erasedAt: null, addressHash: { in: part } },
      select: { id: true, addressHash: true },
    });
    for (const { id, addressHash } of rows) known.set(addressHash, id);
  }
  return known;
}

/** One owner cannot be called, or live in, two things: rows with one address must agree. */
function ownerFaults(lines: readonly CarLine[]): Fault[] {
  const first = new Map<string, CarLine>();
  return lines.flatMap((line) => {
    const address = addressHashOf(line.car.email);
    const before = first.get(address);
    if (before === undefined) {
      first.set(address, line);
      return [];
    }
    return (['name', 'phone', 'timeZone', 'language'] as const).flatMap((column) => {
      const was = before.car[column];
      if (line.car[column] === undefined || line.car[column] === was) return [];
      const detail = `Row ${before.row} has the same address and says ${was === undefined ? 'nothing' : `"${was}"`} here. Write the same in both.`;
      return [cellFault(line.row, column, detail)];
    });
  });
}

async function carFaults(
  { store }: Deed,
  { organisationId }: Caller,
  lines: readonly CarLine[],
): Promise<Fault[]> {
  const there = new Set<string>();
  for (const part of parts([...new Set(lines.map(({ car }) => car.registration))])) {
    const rows = await store.records.car.findMany({
      where: { organisationId, registration: { in: part } },
      select: { registration: true },
    });
    for (const { registration } of rows) there.add(registration);
  }
  const rowOf = new Map<string, number>();
  return lines.flatMap(({ row, car: { registration } }) => {
    const before = rowOf.get(registration);
    if (before === undefined) rowOf.set(registration, row);
    if (there.has(registration)) {
      return [
        cellFault(row, 'registration', `${registration} is on record already. Leave it out.`),
      ];
    }
    return before === undefined
      ? []
      : [cellFault(row, 'registration', `${registration} stands in row ${before} too. Keep one.`)];
  });
}

async function topFaults(deed: Deed, caller: Caller, lines: readonly CarLine[]): Promise<Fault[]> {
  const patterns = (await listPatterns(deed, caller)).map(({ name }) => name);
  const { timeZone: zone } = await showOrganisation(deed, caller);
  return lines.flatMap(({ row, car }) => {
    const { fittedOn, framePattern, timeZone } = car;
    const faults: Fault[] = [];
    if (fittedOn !== undefined && fittedOn > dayIn(timeZone ?? zone, deed.now())) {
      faults.push(cellFault(row, 'fittedOn', 'This day is still to come.'));
    }
    if (framePattern !== undefined && !patterns.includes(framePattern)) {
      const detail = `There is no such frame pattern. There are: ${patterns.join(', ')}.`;
      faults.push(cellFault(row, 'framePattern', detail));
    }
    return faults;
  });
}

function byRow(faults: readonly Fault[]): Fault[] {
  const rowOf = ({ pointer }: Fault) => Number(/\d+/.exec(pointer)?.[0] ?? 0);
  return [...faults].sort((a, b) => rowOf(a) - rowOf(b));
}

/** Lists short enough for the databases' limit on values in one statement. */
function parts<T>(list: readonly T[]): T[][] {
  const size = 500;
  return Array.from({ length: Math.ceil(list.length / size) }, (_, i) =>
    list.slice(i * size, (i + 1) * size),
  );
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
