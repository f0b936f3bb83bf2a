import type { Day } from '../../domain/calendar/day.ts';
import type { Sql } from '../database/sql.ts';
import { insertRows } from '../database/sql.ts';
import { moveStock } from './stock-rows.ts';

/** Pieces of a part that a visit took. */
export interface PartUseRow {
  part: string;
  pieces: number;
}

/** What a visit took from the stock. */
export function usesOfVisit(
  sql: Sql,
  organisationId: string,
  visitId: string,
): Promise<PartUseRow[]> {
  return sql.all(
    'SELECT "part", "pieces" FROM "part_use" WHERE "organisationId" = ? AND "visitId" = ? ORDER BY "part"',
    [organisationId, visitId],
  );
}

/** Says what a visit took, in place of what was said before; the stock follows by the difference. */
export async function storeUses(
  sql: Sql,
  visit: { readonly organisationId: string; readonly id: string; readonly doneOn: Day },
  uses: readonly PartUseRow[],
): Promise<void> {
  const { organisationId, id: visitId, doneOn: takenOn } = visit;
  const before = await usesOfVisit(sql, organisationId, visitId);
  const parts = new Set([...before, ...uses].map(({ part }) => part));
  const piecesIn = (some: readonly PartUseRow[], part: string) =>
    some.find((one) => one.part === part)?.pieces ?? 0;
  for (const part of [...parts].sort()) {
    const was = piecesIn(before, part);
    const becomes = piecesIn(uses, part);
    if (was === becomes) continue;
    if (becomes === 0) {
      await sql.run('DELETE FROM "part_use" WHERE "visitId" = ? AND "part" = ?', [visitId, part]);
    } else if (was === 0) {
      const row = { organisationId, visitId, part, pieces: becomes, takenOn };
      await insertRows(sql, 'part_use', [row]);
    } else {
      await sql.run('UPDATE "part_use" SET "pieces" = ? WHERE "visitId" = ? AND "part" = ?', [
        becomes,
        visitId,
        part,
      ]);
    }
    await moveStock(sql, organisationId, part, { inHand: was - becomes });
  }
}

/** A visit that took a part, with the car that it was for. */
export interface TakenRow {
  visitId: string;
  registration: string;
  pieces: number;
  takenOn: Day;
}

/** The last visits that took a part. */
export function usesOfPart(
  sql: Sql,
  organisationId: string,
  part: string,
  most: number,
): Promise<TakenRow[]> {
  return sql.all(
    'SELECT u."visitId", c."registration", u."pieces", u."takenOn" FROM "part_use" u JOIN "visit" v ON v."id" = u."visitId" JOIN "car" c ON c."id" = v."carId" WHERE u."organisationId" = ? AND u."part" = ? ORDER BY u."takenOn" DESC, u."visitId" DESC LIMIT ?',
    [organisationId, part, most],
  );
}
