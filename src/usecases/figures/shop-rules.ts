import type { OwnFigures, TableName } from '../../domain/figure-tables/figure-tables.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { Sql } from '../../store/database/sql.ts';
import { holdCars } from '../../store/database/car-lock.ts';
import { holdOwnRules, ownRulesOf } from '../../store/organisations/figure-rows.ts';

/** An organisation's own numbers in place of shop rules; empty where it keeps the defaults. */
export async function ownFiguresOf(sql: Sql, organisationId: string): Promise<OwnFigures> {
  return ownFiguresFrom(await ownRulesOf(sql, organisationId));
}

/** The values of one table as an organisation wants them. */
export async function organisationFigures<N extends TableName>(
  sql: Sql,
  organisationId: string,
  table: N,
): Promise<ReturnType<typeof figuresFor<N>>> {
  return figuresFor(table, await ownFiguresOf(sql, organisationId));
}

/**
 * The figures for a decision that is about to be stored about a car, held until the transaction ends:
 * a change of them waits, or is seen. Cars are locked before the organisation everywhere.
 */
export async function heldFiguresOf(
  sql: Sql,
  organisationId: string,
  carId: string,
): Promise<OwnFigures> {
  if (sql.dialect === 'sqlite') return ownFiguresOf(sql, organisationId);
  await holdCars(sql, [carId]);
  return ownFiguresFrom(await holdOwnRules(sql, organisationId));
}

/** Reads the column in which an organisation keeps its own numbers. */
export function ownFiguresFrom(ownRules: string | undefined): OwnFigures {
  return ownRules === undefined || ownRules === '{}' ? {} : (JSON.parse(ownRules) as OwnFigures);
}
