import type { FramePattern, Top } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';
import type { Records } from '../database/store.ts';

/** The frame patterns that an organisation drew itself, by name. */
export function ownPatterns(records: Records, organisationId: string): Promise<FramePattern[]> {
  return records.framePattern.findMany({ where: { organisationId }, orderBy: { name: 'asc' } });
}

/** An organisation's own pattern of a name, or null. */
export function ownPatternNamed(
  records: Records,
  organisationId: string,
  name: string,
): Promise<FramePattern | null> {
  return records.framePattern.findUnique({
    where: { organisationId_name: { organisationId, name } },
  });
}

/** Adds a pattern; false where the organisation has one of that name. */
export async function insertPattern(
  sql: Sql,
  row: Omit<FramePattern, 'version'>,
): Promise<boolean> {
  return (await insertRows(sql, 'frame_pattern', [row], true)) > 0;
}

/** The joints of an organisation's own pattern as JSON, or null where it drew none of that name. */
export async function ownPatternPivots(
  sql: Sql,
  organisationId: string,
  name: string,
): Promise<string | null> {
  const rows = await sql.all<Pick<FramePattern, 'pivots'>>(
    'SELECT "pivots" FROM "frame_pattern" WHERE "organisationId" = ? AND "name" = ?',
    [organisationId, name],
  );
  return rows[0]?.pivots ?? null;
}

/** The frame patterns of the tops that an organisation ever had, with and without power. */
export function patternsInUse(
  sql: Sql,
  organisationId: string,
): Promise<(Pick<Top, 'framePattern'> & { readonly powered: unknown })[]> {
  return sql.all(
    'SELECT DISTINCT "framePattern", "powered" FROM "top" WHERE "organisationId" = ? ORDER BY "framePattern", "powered"',
    [organisationId],
  );
}

/** How many tops, on cars or retired, have an organisation's pattern. */
export async function topsOfPattern(
  sql: Sql,
  organisationId: string,
  name: string,
): Promise<number> {
  const row = await first<{ n: number | string }>(
    sql,
    'SELECT COUNT(*) AS "n" FROM "top" WHERE "organisationId" = ? AND "framePattern" = ?',
    [organisationId, name],
  );
  return Number(row?.n ?? 0);
}

/** Puts other pivots into a pattern that no top has; false where one has it, or it is not there. */
export async function redrawPattern(
  sql: Sql,
  organisationId: string,
  name: string,
  pivots: string,
): Promise<boolean> {
  const changed = await sql.run(
    'UPDATE "frame_pattern" SET "pivots" = ?, "version" = "version" + 1 WHERE "organisationId" = ? AND "name" = ? AND NOT EXISTS (SELECT 1 FROM "top" t WHERE t."organisationId" = "frame_pattern"."organisationId" AND t."framePattern" = "frame_pattern"."name")',
    [pivots, organisationId, name],
  );
  return changed === 1;
}
