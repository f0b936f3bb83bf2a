import type { Car, Organisation, Owner, Prisma, Top } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first } from '../database/sql.ts';
import type { Records } from '../database/store.ts';

/** A top with what its due days are told by: its car's zone and the organisation's own figures. */
export type TopRow = Omit<Top, 'powered' | 'createdAt'> &
  Pick<Car, 'timeZone'> & {
    /** Read it with `flag`. */
    powered: unknown;
    /** The defaults hold where a statement did not ask for them. */
    ownRules?: Organisation['ownRules'] | undefined;
  };

const JOINED =
  'FROM "top" t JOIN "car" c ON c."id" = t."carId" JOIN "organisation" g ON g."id" = t."organisationId"';
const TOPS = `SELECT t.*, c."timeZone", g."ownRules" ${JOINED}`;

// A text that is put together at each call is looked through at each call: those asked often stand whole.
const TOP_OF = `${TOPS} WHERE t."id" = ? AND t."organisationId" = ?`;

/** A top of an organisation; null where it has none of this id. */
export function findTop(sql: Sql, organisationId: string, id: string): Promise<TopRow | null> {
  return first(sql, TOP_OF, [id, organisationId]);
}

/** The tops that are on some cars now. */
export function topsOnCars(sql: Sql, carIds: readonly string[]): Promise<TopRow[]> {
  return sql.all(`${TOPS} WHERE t."carId" ${AMONG} AND t."retiredOn" IS NULL`, [carIds]);
}

/** Tops of an organisation, or of one of its cars, behind an id, retired ones too. */
export function topsAfter(
  sql: Sql,
  organisationId: string,
  { after, most, carId }: { after: string; most: number; carId?: string | undefined },
): Promise<TopRow[]> {
  const ofCar = carId === undefined ? '' : ' AND t."carId" = ?';
  return sql.all(
    `${TOPS} WHERE t."organisationId" = ? AND t."withdrawnAt" IS NULL AND t."id" > ?${ofCar} ORDER BY t."id" LIMIT ?`,
    [organisationId, after, ...(carId === undefined ? [] : [carId]), most],
  );
}

/** A top on a car, with whose it is. */
export type DueTopRow = TopRow &
  Pick<Car, 'registration' | 'ownerId'> & { ownerName: Owner['name'] };

/** Tops on cars whose lubrication is due by a day, the soonest first, behind one that was shown. */
export function topsDueBy(
  sql: Sql,
  organisationId: string,
  { until, after, most }: { until: string; after: { day: string; id: string }; most: number },
): Promise<DueTopRow[]> {
  // The page is found among the tops alone, by their index, before anything is joined to it.
  return sql.all(
    `SELECT t.*, c."timeZone", g."ownRules", c."registration", c."ownerId", o."name" AS "ownerName" FROM (SELECT * FROM "top" WHERE "organisationId" = ? AND "retiredOn" IS NULL AND "dueOn" <= ? AND ("dueOn", "id") > (?, ?) ORDER BY "dueOn", "id" LIMIT ?) t JOIN "car" c ON c."id" = t."carId" JOIN "organisation" g ON g."id" = t."organisationId" JOIN "owner" o ON o."id" = c."ownerId" ORDER BY t."dueOn", t."id"`,
    [organisationId, until, after.day, after.id, most],
  );
}

/** The top that is on a car now, or null. */
export function topOnCar(records: Records, carId: string): Promise<Top | null> {
  return records.top.findFirst({ where: { carId, retiredOn: null } });
}

/** Adds a top. */
export async function insertTop(
  records: Records,
  data: Prisma.TopUncheckedCreateInput,
): Promise<void> {
  await records.top.create({ data });
}

/** Ends a top on the day that the next one was fitted. */
export async function retireTop(
  records: Records,
  top: Pick<Top, 'id' | 'version'>,
  retiredOn: string,
): Promise<void> {
  await records.top.update({
    where: { id: top.id },
    data: { retiredOn, version: top.version + 1 },
  });
}

/** A top on a car with its warranties and whose it is. */
export type WarrantedTop = Pick<Top, 'carId' | 'fittedOn' | 'warranties'> &
  Pick<Car, 'timeZone' | 'registration' | 'ownerId'> & {
    topId: Top['id'];
    ownerName: Owner['name'];
  };

const WARRANTED = `SELECT t."id" AS "topId", t."carId", t."fittedOn", t."warranties", c."timeZone", c."registration", c."ownerId", o."name" AS "ownerName" FROM "top" t JOIN "car" c ON c."id" = t."carId" JOIN "owner" o ON o."id" = c."ownerId" WHERE t."organisationId" = ? AND t."retiredOn" IS NULL`;

/** The tops on an organisation's cars that have a warranty written down. */
export function topsWithWarranties(sql: Sql, organisationId: string): Promise<WarrantedTop[]> {
  return sql.all(`${WARRANTED} AND t."warranties" <> '[]'`, [organisationId]);
}

/** The tops on some of an organisation's cars, with their warranties. */
export function warrantiesOnCars(
  sql: Sql,
  organisationId: string,
  carIds: readonly string[],
): Promise<WarrantedTop[]> {
  return sql.all(`${WARRANTED} AND t."carId" ${AMONG}`, [organisationId, carIds]);
}

/** Changes a top at its version and counts that up; a count of 0 where it was changed meanwhile. */
export function changeTopRow(
  records: Records,
  before: Pick<Top, 'id' | 'version'>,
  data: Prisma.TopUncheckedUpdateManyInput,
): Promise<{ count: number }> {
  const { id, version } = before;
  return records.top.updateMany({
    where: { id, version },
    data: { ...data, version: version + 1 },
  });
}

/** The top that was on a car until a day; null where none was. */
export function topRetiredOn(records: Records, carId: string, day: string): Promise<Top | null> {
  return records.top.findFirst({
    where: { carId, retiredOn: day, withdrawnAt: null },
    orderBy: { id: 'desc' },
  });
}

/** Puts a top back on its car. */
export async function unretireTop(
  records: Records,
  top: Pick<Top, 'id' | 'version'>,
): Promise<void> {
  await records.top.update({
    where: { id: top.id },
    data: { retiredOn: null, version: top.version + 1 },
  });
}

/** How many visits of a top took place or are booked. */
export function visitsThatCount(records: Records, topId: string): Promise<number> {
  return records.visit.count({
    where: { topId, state: { in: ['planned', 'booked', 'done', 'missed'] } },
  });
}

/** Every top that some cars have or had, those that were taken back too. */
export async function topIdsOfCars(sql: Sql, carIds: readonly string[]): Promise<string[]> {
  const rows = await sql.all<Pick<TopRow, 'id'>>(`SELECT "id" FROM "top" WHERE "carId" ${AMONG}`, [
    carIds,
  ]);
  return rows.map(({ id }) => id);
}
