import type { Owner, Prisma } from '../generated/sqlite/client.ts';
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
