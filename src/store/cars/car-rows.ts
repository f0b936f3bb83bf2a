import type { Car, Prisma } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, forUpdate } from '../database/sql.ts';
import type { Records } from '../database/store.ts';

export type CarRow = Car;

/** A car of an organisation; null where it has none of this id. */
export function findCar(
  records: Records,
  organisationId: string,
  id: string,
): Promise<CarRow | null> {
  return records.car.findFirst({ where: { id, organisationId } });
}

/** Cars of an organisation in the order they were added: those behind an id, or the ones named. */
export function carsInOrder(
  records: Records,
  organisationId: string,
  which: { readonly after: string } | { readonly ids: readonly string[] },
  { ownerId, most }: { readonly ownerId?: string | undefined; readonly most: number },
): Promise<CarRow[]> {
  return records.car.findMany({
    where: {
      organisationId,
      id: 'after' in which ? { gt: which.after } : { in: [...which.ids] },
      ...(ownerId === undefined ? {} : { ownerId }),
    },
    orderBy: { id: 'asc' },
    take: most,
  });
}

/** Adds a car; what is left out gets its default. */
export function insertCar(records: Records, data: Prisma.CarUncheckedCreateInput): Promise<CarRow> {
  return records.car.create({ data });
}

/** Changes a car at its version and counts that up; a count of 0 where it was changed meanwhile. */
export function changeCarRow(
  records: Records,
  before: Pick<CarRow, 'id' | 'version'>,
  data: Prisma.CarUncheckedUpdateManyInput,
): Promise<{ count: number }> {
  const { id, version } = before;
  return records.car.updateMany({
    where: { id, version },
    data: { ...data, version: version + 1 },
  });
}

/** Every car of an organisation with its owner, in the order of the owners. */
export function carsOfOrganisation(
  sql: Sql,
  organisationId: string,
): Promise<Pick<CarRow, 'id' | 'ownerId'>[]> {
  return sql.all(
    'SELECT "id", "ownerId" FROM "car" WHERE "organisationId" = ? ORDER BY "ownerId", "id"',
    [organisationId],
  );
}

/** Every car of an organisation, locked in the order that cars are locked in everywhere. */
export async function lockCars(sql: Sql, organisationId: string): Promise<string[]> {
  const rows = await sql.all<Pick<CarRow, 'id'>>(
    `SELECT "id" FROM "car" WHERE "organisationId" = ? ORDER BY "id"${forUpdate(sql)}`,
    [organisationId],
  );
  return rows.map(({ id }) => id);
}

/** A car as people speak of it, and whose it is. */
export type NamedCarRow = Pick<CarRow, 'id' | 'registration' | 'ownerId'> & { ownerName: string };

/** The registration and owner of each car of an organisation that has a top, the oldest first. */
export function namedCars(sql: Sql, organisationId: string): Promise<NamedCarRow[]> {
  return sql.all(
    'SELECT c."id", c."registration", c."ownerId", o."name" AS "ownerName" FROM "car" c JOIN "owner" o ON o."id" = c."ownerId" WHERE c."organisationId" = ? AND o."erasedAt" IS NULL AND EXISTS (SELECT 1 FROM "top" t WHERE t."carId" = c."id" AND t."retiredOn" IS NULL) ORDER BY c."id"',
    [organisationId],
  );
}

/** Whether an organisation has a car at all. */
export async function anyCar(sql: Sql, organisationId: string): Promise<boolean> {
  const row = await first<{ id: string }>(
    sql,
    'SELECT "id" FROM "car" WHERE "organisationId" = ? LIMIT 1',
    [organisationId],
  );
  return row !== null;
}
