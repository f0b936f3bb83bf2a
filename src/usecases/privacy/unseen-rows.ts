import { positionLetters, unseenCarsOf } from '../../store/sharing/sight.ts';
import type { AnyRow } from '../../store/privacy/owner-data-rows.ts';
import type { Sql } from '../../store/database/sql.ts';

type Rows = Readonly<Record<string, readonly AnyRow[]>>;

/**
 * Takes out of an owner's records what tells her club where a top stands, or stood, that she has not
 * shown to it: entries of the log, the letters about a folded top and whatever hangs on them, and what
 * the trail kept of such entries.
 */
export async function withoutUnseen(
  sql: Sql,
  ownerId: string,
  carIds: readonly string[],
  rows: Rows,
): Promise<{ readonly rows: Rows; readonly leftOut: 'positions'[] }> {
  const cars = new Set<unknown>(await unseenCarsOf(sql, ownerId, carIds));
  if (cars.size === 0) return { rows, leftOut: [] };
  const letters = new Set<unknown>(await positionLetters(sql, ownerId, [...cars].map(String)));
  const keep = (table: string, hidden: (row: AnyRow) => boolean) =>
    (rows[table] ?? []).filter((row) => !hidden(row));
  return {
    leftOut: ['positions'],
    rows: {
      ...rows,
      position_entry: keep('position_entry', (row) => cars.has(row['carId'])),
      letter: keep('letter', (row) => letters.has(row['id'])),
      letter_occasion: keep('letter_occasion', (row) => letters.has(row['letterId'])),
      report: keep('report', (row) => letters.has(row['letterId'])),
      trail: keep('trail', (row) => row['kind'] === 'position_entry' && cars.has(row['carId'])),
    },
  };
}
