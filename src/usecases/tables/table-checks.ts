import type { Day } from '../../domain/calendar/day.ts';
import { plainRegistration } from '../../domain/tables/plain-registration.ts';
import { addressHashOf } from '../context/secret.ts';
import type { RowFault } from './row-faults.ts';
import { cellFault } from './row-faults.ts';
import type { ReadLine } from './table-rows.ts';

/** What the lines of a table are held against besides each other. */
export interface TableGround {
  readonly patterns: readonly string[];
  /** The day that it is where the car of a line is. */
  readonly todayOf: (line: ReadLine) => Day;
}

/** What does not hold together between the lines of a table, those included that are refused anyway. */
export function crossFaults(lines: readonly ReadLine[], ground: TableGround): RowFault[] {
  return [
    ...ownerFaults(lines),
    ...registrationFaults(lines),
    ...lines.flatMap((line) => topFaults(line, ground)),
    ...lines.flatMap((line) => oilingFaults(line, ground)),
  ];
}

/** One owner cannot be called, or live in, two things: rows with one address must agree. */
function ownerFaults(lines: readonly ReadLine[]): RowFault[] {
  const first = new Map<string, ReadLine>();
  return lines.flatMap((line) => {
    if (line.car.email === undefined) return [];
    const address = addressHashOf(line.car.email);
    const before = first.get(address);
    if (before === undefined) {
      first.set(address, line);
      return [];
    }
    const same = ['name', 'phone', 'timeZone', 'language', 'postalAddress', 'postcode'] as const;
    return same.flatMap((field) => {
      const was = before.car[field];
      if (line.car[field] === undefined || line.car[field] === was) return [];
      const said = was === undefined ? 'nothing' : `"${was}"`;
      const detail = `Row ${before.row} has the same address and says ${said} here. Write the same in both.`;
      return [cellFault(line.row, field, detail)];
    });
  });
}

function registrationFaults(lines: readonly ReadLine[]): RowFault[] {
  const rowOf = new Map<string, number>();
  return lines.flatMap(({ row, car: { registration } }) => {
    if (registration === undefined) return [];
    const plain = plainRegistration(registration);
    const before = rowOf.get(plain);
    if (before === undefined) {
      rowOf.set(plain, row);
      return [];
    }
    const detail = `${registration} stands in row ${before} too. Keep one.`;
    return [cellFault(row, 'registration', detail)];
  });
}

function topFaults(line: ReadLine, { patterns, todayOf }: TableGround): RowFault[] {
  const { row, car } = line;
  const { fittedOn, framePattern } = car;
  const faults: RowFault[] = [];
  if (fittedOn !== undefined && fittedOn > todayOf(line)) {
    faults.push(cellFault(row, 'fittedOn', 'This day is still to come.'));
  }
  if (framePattern !== undefined && !patterns.includes(framePattern)) {
    const detail = `There is no such frame pattern. There are: ${patterns.join('; ')}.`;
    faults.push(cellFault(row, 'framePattern', detail));
  }
  return faults;
}

function oilingFaults(line: ReadLine, { todayOf }: TableGround): RowFault[] {
  const { row, car } = line;
  const { lubricatedOn, fittedOn } = car;
  if (lubricatedOn === undefined) return [];
  if (lubricatedOn > todayOf(line)) return [cellFault(row, 'lubricatedOn', OILING_AHEAD)];
  return fittedOn === undefined ? [] : oiledBefore(row, lubricatedOn, fittedOn);
}

const OILING_AHEAD =
  'This day is still to come. Write the day on which the pivots were oiled last, or leave the cell empty.';

/** That a line names an oiling and neither it nor the records know a top. */
export const OILED_WITHOUT_TOP =
  'An oiling belongs to a top, and there is none of this car. Fill the cells about the top too, or leave this one empty.';

/** An oiling before the top was fitted: nobody knows which of the two days is wrong. */
export function oiledBefore(row: number, lubricatedOn: Day, fittedOn: Day): RowFault[] {
  if (lubricatedOn >= fittedOn) return [];
  const detail = `This is before the top was fitted on ${fittedOn}. Put the wrong day right; where the old top was oiled, leave the cell empty: the next oiling is then reckoned from the fitting.`;
  return [cellFault(row, 'lubricatedOn', detail)];
}
