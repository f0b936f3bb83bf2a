import type { Day } from '../../domain/calendar/day.ts';
import type { CareDay, Prisma } from '../generated/sqlite/client.ts';
import type { Records } from '../database/store.ts';
import type { Sql } from '../database/sql.ts';
import { first } from '../database/sql.ts';

/** A care day with the zone by whose clock its times are meant. */
export type CareDayRow = CareDay & { readonly timeZone: string };

const DAYS =
  'SELECT d.*, g."timeZone" FROM "care_day" d JOIN "organisation" g ON g."id" = d."organisationId"';

/** A care day of an organisation; null where it has none of this id. */
export function careDayNamed(
  sql: Sql,
  organisationId: string,
  id: string,
): Promise<CareDayRow | null> {
  return first(sql, `${DAYS} WHERE d."organisationId" = ? AND d."id" = ?`, [organisationId, id]);
}

/** The care days of an organisation from a day on, the soonest first. */
export function careDaysFrom(sql: Sql, organisationId: string, from: Day): Promise<CareDayRow[]> {
  return sql.all(
    `${DAYS} WHERE d."organisationId" = ? AND d."heldOn" >= ? ORDER BY d."heldOn", d."id"`,
    [organisationId, from],
  );
}

export async function insertCareDay(
  records: Records,
  data: Prisma.CareDayUncheckedCreateInput,
): Promise<void> {
  await records.careDay.create({ data });
}

/** Changes a care day at its version and counts that up; a count of 0 where it was changed meanwhile. */
export function changeCareDayRow(
  records: Records,
  before: Pick<CareDayRow, 'id' | 'version'>,
  data: Prisma.CareDayUncheckedUpdateManyInput,
): Promise<{ count: number }> {
  const { id, version } = before;
  return records.careDay.updateMany({
    where: { id, version },
    data: { ...data, version: version + 1 },
  });
}
