import type BetterSqlite3 from 'better-sqlite3';
import { v7 } from 'uuid';
import type { Pen } from './pen.ts';
import type { TrailedTable } from './trail-tables.ts';
import { aboutOf, followed, organisationOf, TRAIL_TABLES } from './trail-tables.ts';

/**
 * Has a connection write the trail of whatever is changed through it. The triggers belong to the
 * connection, not to the file: they ask this process who writes, and another program that opens the
 * file is left alone.
 */
export function leaveTrail(handle: BetterSqlite3.Database, pen: () => Pen | null): void {
  handle.function('trail_left', () => (pen() === null ? 0 : 1));
  handle.function('trail_author', () => pen()?.author ?? '');
  handle.function('trail_name', () => pen()?.name ?? '');
  handle.function('trail_at', () => pen()?.at ?? new Date().toISOString());
  handle.function('trail_id', () => v7());
  handle.function('trail_differing', (one: unknown, other: unknown) =>
    differing(String(one), String(other)),
  );
  const scripts = TRAIL_TABLES.flatMap((trailTable) => {
    const columns = handle.pragma(`table_info("${trailTable.table}")`) as { name: string }[];
    return triggersOf({ ...trailTable, columns: columns.map(({ name }) => name) });
  });
  // At once: a statement alone would be a transaction of its own.
  handle.exec(`BEGIN;\n${scripts.join(';\n')};\nCOMMIT`);
}

/** The values of `one` that are others in `other`, as JSON; null where all are the same. */
function differing(one: string, other: string): string | null {
  if (one === other) return null;
  const [mine, others] = [JSON.parse(one), JSON.parse(other)] as Record<string, unknown>[];
  const pairs = Object.entries(mine ?? {}).filter(([column, value]) => others?.[column] !== value);
  return pairs.length === 0 ? null : JSON.stringify(Object.fromEntries(pairs));
}

function triggersOf(table: TrailedTable): string[] {
  const columns = followed(table);
  const of = (row: string) =>
    `json_object(${columns.map((column) => `'${column}', ${row}."${column}"`).join(', ')})`;
  const list = columns.map((column) => `"${column}"`).join(', ');
  return [
    ...(table.recorded === false ? [] : [trigger(table, 'INSERT', 'recorded', 'NEW', 'NULL')]),
    trigger(table, 'DELETE', 'removed', 'OLD', of('OLD')),
    trigger(
      table,
      `UPDATE OF ${list}`,
      'changed',
      'NEW',
      `trail_differing(${of('OLD')}, ${of('NEW')})`,
      `trail_differing(${of('NEW')}, ${of('OLD')})`,
    ),
  ];
}

function trigger(
  table: TrailedTable,
  event: string,
  action: string,
  row: 'OLD' | 'NEW',
  was: string,
  becomes = 'NULL',
): string {
  const { carId, ownerId, visitId, personId } = aboutOf(table, row, action === 'removed');
  const recordId = table.key.map((column) => `${row}."${column}"`).join(` || '/' || `);
  const organisationId = organisationOf(table, row);
  const isFollowed = table.onlyIf === undefined ? '' : `${row}."${table.onlyIf}" AND `;
  return `CREATE TEMP TRIGGER "trail_${table.table}_${action}" AFTER ${event} ON main."${table.table}"
    WHEN ${isFollowed}trail_left() BEGIN
      INSERT INTO "trail" ("id", "organisationId", "at", "author", "authorName", "kind", "recordId", "action", "carId", "ownerId", "visitId", "personId", "was", "becomes")
      SELECT trail_id(), "organisation", trail_at(), trail_author(), trail_name(), '${table.table}', ${recordId}, '${action}', ${carId}, ${ownerId}, ${visitId}, ${personId}, "was", "becomes"
      FROM (SELECT ${organisationId} AS "organisation", ${was} AS "was", ${becomes} AS "becomes")
      WHERE "organisation" IS NOT NULL AND ('${action}' <> 'changed' OR "was" IS NOT NULL);
    END`;
}
