import { plainRegistration } from '../../domain/tables/plain-registration.ts';
import { addressHashOf } from '../context/secret.ts';
import type { ReadLine, RowFault } from './table-rows.ts';
import { cellFault } from './table-rows.ts';

/** What the lines of a table are held against besides each other. */
export interface TableGround {
  readonly patterns: readonly string[];
  /** The day that it is in a zone. */
  readonly today: (zone: string) => string;
  readonly timeZone: string;
}

/** What does not hold together between the lines of a table, those included that are refused anyway. */
export function crossFaults(lines: readonly ReadLine[], ground: TableGround): RowFault[] {
  return [
    ...ownerFaults(lines),
    ...registrationFaults(lines),
    ...lines.flatMap((line) => topFaults(line, ground)),
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

function topFaults({ row, car }: ReadLine, { patterns, today, timeZone }: TableGround): RowFault[] {
  const { fittedOn, framePattern } = car;
  const faults: RowFault[] = [];
  if (fittedOn !== undefined && fittedOn > today(car.timeZone ?? timeZone)) {
    faults.push(cellFault(row, 'fittedOn', 'This day is still to come.'));
  }
  if (framePattern !== undefined && !patterns.includes(framePattern)) {
    const detail = `There is no such frame pattern. There are: ${patterns.join('; ')}.`;
    faults.push(cellFault(row, 'framePattern', detail));
  }
  return faults;
}
