import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import { framePatternNamed } from '../../domain/pivots/frame-patterns.ts';
import type { Sql } from '../../store/database/sql.ts';
import { ownPatternPivots } from '../../store/tops/pattern-rows.ts';

/** The joints of a frame pattern with their places in its drawing; none where there is no such pattern. */
export async function drawnPattern(
  sql: Sql,
  organisationId: string,
  name: string,
): Promise<readonly PatternPivot[]> {
  const builtIn = framePatternNamed(name);
  if (builtIn !== undefined) return builtIn.pivots;
  const own = await ownPatternPivots(sql, organisationId, name);
  return own === null ? [] : (JSON.parse(own) as PatternPivot[]);
}
