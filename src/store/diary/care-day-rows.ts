import type { Day } from '../../domain/calendar/day.ts';
import type { Car, Visit } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';

export type CareDayRow = Pick<Visit, 'id' | 'kind' | 'minutes' | 'carId'> &
  Pick<Car, 'registration'> & { readonly plannedOn: Day };

/** The visits booked in an organisation from one day to another, by day: the cars, nothing of owners. */
export function bookedBetween(
  sql: Sql,
  organisationId: string,
  from: Day,
  to: Day,
): Promise<CareDayRow[]> {
  return sql.all(
    `SELECT v."id", v."kind", v."minutes", v."plannedOn", v."carId", c."registration" FROM "visit" v JOIN "car" c ON c."id" = v."carId" WHERE v."organisationId" = ? AND v."state" = 'booked' AND v."plannedOn" >= ? AND v."plannedOn" <= ? ORDER BY v."plannedOn", v."id"`,
    [organisationId, from, to],
  );
}
