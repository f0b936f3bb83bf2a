import type { Instant } from '../../domain/calendar/instant.ts';
import type { Car, Owner, PartWish } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';

export type WishRow = Pick<PartWish, 'carId' | 'part' | 'pieces'> &
  Pick<Car, 'registration'> & { readonly ownerName: Owner['name'] };

/** What members ordered with a care day, member by member. */
export function wishesOf(sql: Sql, organisationId: string, careDayId: string): Promise<WishRow[]> {
  return sql.all(
    'SELECT w."carId", w."part", w."pieces", c."registration", o."name" AS "ownerName" FROM "part_wish" w JOIN "car" c ON c."id" = w."carId" JOIN "owner" o ON o."id" = c."ownerId" WHERE w."organisationId" = ? AND w."careDayId" = ? AND w."pieces" > 0 AND o."erasedAt" IS NULL ORDER BY o."name", c."id", w."part"',
    [organisationId, careDayId],
  );
}

/** Sets how many pieces of a part are ordered for a car; said again, it replaces what was said. */
export async function storeWish(
  sql: Sql,
  wish: Pick<PartWish, 'careDayId' | 'carId' | 'part' | 'organisationId' | 'pieces'>,
  at: Instant,
): Promise<void> {
  await sql.run(
    'INSERT INTO "part_wish" ("careDayId", "carId", "part", "organisationId", "pieces", "changedAt") VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT ("careDayId", "carId", "part") DO UPDATE SET "pieces" = excluded."pieces", "changedAt" = excluded."changedAt" WHERE "part_wish"."pieces" <> excluded."pieces"',
    [wish.careDayId, wish.carId, wish.part, wish.organisationId, wish.pieces, at],
  );
}
