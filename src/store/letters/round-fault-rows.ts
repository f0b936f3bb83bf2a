import type { Owner, RoundFault } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first, insertRows } from '../database/sql.ts';

/** Notes that the round could do nothing for some owners, and why; what was noted before is replaced. */
export async function setAside(
  sql: Sql,
  owners: readonly Omit<RoundFault, 'organisationId'>[],
): Promise<void> {
  const ids = owners.map(({ ownerId }) => ownerId);
  if (ids.length === 0) return;
  await takeBackIn(sql, ids);
  const known = await sql.all<Pick<Owner, 'id' | 'organisationId'>>(
    `SELECT "id", "organisationId" FROM "owner" WHERE "id" ${AMONG}`,
    [ids],
  );
  const reasons = new Map(owners.map((owner) => [owner.ownerId, owner]));
  await insertRows(
    sql,
    'round_fault',
    known.flatMap(({ id, organisationId }) => {
      const found = reasons.get(id);
      if (found === undefined) return [];
      return [{ ownerId: id, organisationId, reason: found.reason, at: found.at }];
    }),
    true,
  );
}

/** Forgets what was noted of owners for whom the round could do its work again. */
export async function takeBackIn(sql: Sql, ownerIds: readonly string[]): Promise<void> {
  await sql.run(`DELETE FROM "round_fault" WHERE "ownerId" ${AMONG}`, [ownerIds]);
}

/** The owners of an organisation that the round has set aside, with the reason, by name. */
export function ownersSetAside(
  sql: Sql,
  organisationId: string,
  most: number,
): Promise<(Pick<RoundFault, 'ownerId' | 'reason' | 'at'> & Pick<Owner, 'name'>)[]> {
  return sql.all(
    'SELECT f."ownerId", o."name", f."reason", f."at" FROM "round_fault" f JOIN "owner" o ON o."id" = f."ownerId" WHERE f."organisationId" = ? ORDER BY o."name", f."ownerId" LIMIT ?',
    [organisationId, most],
  );
}

/** How many owners of all organisations are set aside. */
export async function countSetAside(sql: Sql): Promise<number> {
  return (await first<{ n: number }>(sql, 'SELECT COUNT(*) AS "n" FROM "round_fault"'))?.n ?? 0;
}
