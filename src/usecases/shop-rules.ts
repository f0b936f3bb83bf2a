import type { OwnFigures, TableName } from '../domain/figure-tables.ts';
import { figuresFor } from '../domain/figure-tables.ts';
import type { Sql } from '../store/sql.ts';
import { first } from '../store/sql.ts';

/** An organisation's own numbers in place of shop rules; empty where it keeps the defaults. */
export async function ownFiguresOf(sql: Sql, organisationId: string): Promise<OwnFigures> {
  const row = await first<{ ownRules: string }>(
    sql,
    'SELECT "ownRules" FROM "organisation" WHERE "id" = ?',
    [organisationId],
  );
  return ownFiguresFrom(row?.ownRules);
}

/** The values of one table as an organisation wants them. */
export async function organisationFigures<N extends TableName>(
  sql: Sql,
  organisationId: string,
  table: N,
): Promise<ReturnType<typeof figuresFor<N>>> {
  return figuresFor(table, await ownFiguresOf(sql, organisationId));
}

/** Reads the column in which an organisation keeps its own numbers. */
export function ownFiguresFrom(ownRules: string | undefined): OwnFigures {
  return ownRules === undefined || ownRules === '{}' ? {} : (JSON.parse(ownRules) as OwnFigures);
}
