import type { FramePattern } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { insertRows } from '../database/sql.ts';
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
