import type { Fault } from '../../domain/refusal.ts';
import { addressHashOf } from '../context/secret.ts';
import type { CarOfLine } from './table-records.ts';
import type { CarLine } from './table-rows.ts';
import { cellFault } from './table-rows.ts';

/** What the cells of a table are held against besides each other. */
export interface TableGround {
  readonly registrations: ReadonlySet<string>;
  readonly patterns: readonly string[];
  /** The day that it is in a zone. */
  readonly today: (zone: string) => string;
}

/** What does not hold together between the rows of a table, or between them and the records. */
export function crossFaults(cars: readonly CarOfLine[], ground: TableGround): Fault[] {
  const lines = cars.map(({ line }) => line);
  return [
    ...ownerFaults(lines),
    ...registrationFaults(lines, ground.registrations),
    ...cars.flatMap((car) => topFaults(car, ground)),
  ];
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
      const said = was === undefined ? 'nothing' : `"${was}"`;
      const detail = `Row ${before.row} has the same address and says ${said} here. Write the same in both.`;
      return [cellFault(line.row, column, detail)];
    });
  });
}

function registrationFaults(lines: readonly CarLine[], there: ReadonlySet<string>): Fault[] {
  const rowOf = new Map<string, number>();
  return lines.flatMap(({ row, car: { registration } }) => {
    const before = rowOf.get(registration);
    if (before === undefined) rowOf.set(registration, row);
    const detail = there.has(registration)
      ? `${registration} is on record already. Leave it out.`
      : `${registration} stands in row ${before} too. Keep one.`;
    return there.has(registration) || before !== undefined
      ? [cellFault(row, 'registration', detail)]
      : [];
  });
}

function topFaults({ line, record }: CarOfLine, { patterns, today }: TableGround): Fault[] {
  const { fittedOn, framePattern } = line.car;
  const faults: Fault[] = [];
  if (fittedOn !== undefined && fittedOn > today(record.timeZone)) {
    faults.push(cellFault(line.row, 'fittedOn', 'This day is still to come.'));
  }
  if (framePattern !== undefined && !patterns.includes(framePattern)) {
    const detail = `There is no such frame pattern. There are: ${patterns.join(', ')}.`;
    faults.push(cellFault(line.row, 'framePattern', detail));
  }
  return faults;
}
