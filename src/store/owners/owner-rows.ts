import type { Organisation, Owner, Prisma } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, forUpdate } from '../database/sql.ts';
import type { Records } from '../database/store.ts';

export type OwnerRow = Owner;

/** An owner of an organisation who was not erased; null where it has none of this id. */
export function findOwner(
  records: Records,
  organisationId: string,
  id: string,
): Promise<OwnerRow | null> {
  return records.owner.findFirst({ where: { id, organisationId, erasedAt: null } });
}

/** The owners of an organisation behind an id, `most` at most, in the order they were added. */
export function ownersAfter(
  records: Records,
  organisationId: string,
  after: string,
  most: number,
): Promise<OwnerRow[]> {
  return records.owner.findMany({
    where: { organisationId, erasedAt: null, id: { gt: after } },
    orderBy: { id: 'asc' },
    take: most,
  });
}

/** Whether the owner of a car was erased. */
export async function isCarOwnerErased(sql: Sql, carId: string): Promise<boolean> {
  const erased = await first(
    sql,
    'SELECT o."id" FROM "car" c JOIN "owner" o ON o."id" = c."ownerId" WHERE c."id" = ? AND o."erasedAt" IS NOT NULL',
    [carId],
  );
  return erased !== null;
}

/** Adds an owner. */
export async function insertOwner(records: Records, row: OwnerRow): Promise<void> {
  await records.owner.create({ data: row });
}

/** Changes an owner at its version and counts that up; a count of 0 where it was changed meanwhile. */
export function changeOwnerRow(
  records: Records,
  before: Pick<OwnerRow, 'id' | 'version'>,
  data: Prisma.OwnerUncheckedUpdateManyInput,
): Promise<{ count: number }> {
  const { id, version } = before;
  return records.owner.updateMany({
    where: { id, version },
    data: { ...data, version: version + 1 },
  });
}

/** What an owner's stop page says: whom the letters go to, and from whom they come. */
export type StopPageOwner = Pick<
  Owner,
  'id' | 'email' | 'addressHash' | 'language' | 'organisationId'
> & {
  readonly organisationName: Organisation['name'];
  readonly postalAddress: Organisation['postalAddress'];
  readonly organisationKind: Organisation['kind'];
};

/** The owner that a stop link is about; null where erased. */
export function stopPageOwner(
  sql: Sql,
  organisationId: string,
  id: string,
): Promise<StopPageOwner | null> {
  return first(
    sql,
    `SELECT o."id", o."email", o."addressHash", o."language", o."organisationId", g."name" AS "organisationName", g."postalAddress", g."kind" AS "organisationKind" FROM "owner" o JOIN "organisation" g ON g."id" = o."organisationId" WHERE o."id" = ? AND o."organisationId" = ? AND o."erasedAt" IS NULL`,
    [id, organisationId],
  );
}

/** Holds an owner until the transaction ends, so that two deeds about her cars follow each other. */
export async function holdOwner(sql: Sql, id: string): Promise<void> {
  await sql.all(`SELECT "id" FROM "owner" WHERE "id" = ?${forUpdate(sql)}`, [id]);
}
