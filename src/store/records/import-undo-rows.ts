import type { Car } from '../generated/sqlite/client.ts';
import { LOOK_NOW } from '../../domain/round/next-look.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG, first } from '../database/sql.ts';
import type { Against, MadeKind, Reference } from './import-references.ts';
import { REFERENCES } from './import-references.ts';

/** What a run made, by id. */
export type MadeIds = Readonly<Record<MadeKind, readonly string[]>>;

/** How many records of each kind stand against taking a run back. */
export interface Touched {
  readonly changed: number;
  /** Cars or tops that were added to what the run made. */
  readonly added: number;
  readonly worked: ReadonlyMap<Against, number>;
}

/** Of the visits that a run brought, those that stand as it brought them, with nothing added to them. */
export async function visitsAsBrought(
  sql: Sql,
  ids: readonly string[],
): Promise<ReadonlySet<string>> {
  const found = new Set<string>();
  for (const part of parts(ids)) {
    const rows = await sql.all<{ id: string }>(
      `SELECT v."id" FROM "visit" v WHERE v."id" ${AMONG} AND v."version" = 1 AND v."state" = 'done' AND NOT EXISTS (SELECT 1 FROM "reading" r WHERE r."visitId" = v."id") AND NOT EXISTS (SELECT 1 FROM "finding" f WHERE f."visitId" = v."id") AND NOT EXISTS (SELECT 1 FROM "part_use" u WHERE u."visitId" = v."id") AND NOT EXISTS (SELECT 1 FROM "photo" p WHERE p."visitId" = v."id")`,
      [part],
    );
    for (const { id } of rows) found.add(id);
  }
  return found;
}

/** What else was done since with the records that a run made; the visits of its own count for nothing. */
export async function touchedSince(
  sql: Sql,
  made: MadeIds,
  ownVisits: ReadonlySet<string>,
): Promise<Touched> {
  const changed = (table: string, ids: readonly string[]) =>
    counted(sql, table, 'id', ids, '"version" > 1');
  // A top that somebody fitted since on one of these cars is no top of the run.
  const cars = await counted(sql, 'car', 'ownerId', made.owners);
  const tops = await counted(sql, 'top', 'carId', made.cars);
  const worked = new Map<Against, number>();
  for (const reference of REFERENCES) {
    const { against } = reference;
    if (against === undefined) continue;
    const own = reference.table === 'visit' ? ownVisits.size : 0;
    const count = (worked.get(against) ?? 0) + (await referring(sql, reference, made)) - own;
    if (count > 0) worked.set(against, count);
  }
  return {
    changed:
      (await changed('owner', made.owners)) +
      (await changed('car', made.cars)) +
      (await changed('top', made.tops)),
    added: Math.max(0, cars - made.cars.length) + Math.max(0, tops - made.tops.length),
    worked,
  };
}

/**
 * Of some cars, or of some owners, those on whom something hangs that is not undone with them, and what;
 * visits of a run's own count for nothing.
 */
export async function standingAgainst(
  sql: Sql,
  ids: readonly string[],
  of: 'cars' | 'owners' = 'cars',
  ownVisits: ReadonlySet<string> = NONE,
): Promise<ReadonlyMap<string, readonly Against[]>> {
  const found = new Map<string, Against[]>();
  for (const { table, columns, against, where, againstRemoval = where } of REFERENCES) {
    if (against === undefined) continue;
    for (const [column, kind] of Object.entries(columns)) {
      if (kind !== of) continue;
      const stands = of === 'cars' ? againstRemoval : where;
      const own = table === 'visit' ? ownVisits : NONE;
      for (const id of await idsReferred(sql, { table, column, where: stands }, ids, own)) {
        const known = found.get(id) ?? [];
        if (!known.includes(against)) found.set(id, [...known, against]);
      }
    }
  }
  return found;
}

/** Cars of a run that are there still, in the order of their registrations, and whether they were changed since. */
export async function carsStillThere(
  sql: Sql,
  carIds: readonly string[],
): Promise<(Pick<Car, 'id' | 'registration' | 'ownerSince'> & { changed: unknown })[]> {
  const found: (Pick<Car, 'id' | 'registration' | 'ownerSince'> & { changed: unknown })[] = [];
  for (const part of parts(carIds)) {
    const rows = await sql.all<(typeof found)[number]>(
      `SELECT c."id", c."registration", c."ownerSince", (c."version" > 1 OR EXISTS (SELECT 1 FROM "top" t WHERE t."carId" = c."id" AND t."version" > 1)) AS "changed" FROM "car" c WHERE c."id" ${AMONG}`,
      [part],
    );
    found.push(...rows);
  }
  return found.sort((a, b) => (a.registration < b.registration ? -1 : 1));
}

/** Of some owners, those who were not changed since they were made and have no car. */
export async function ownersWithoutCar(
  sql: Sql,
  ownerIds: readonly string[],
): Promise<readonly string[]> {
  const found: string[] = [];
  for (const part of parts(ownerIds)) {
    const rows = await sql.all<{ id: string }>(
      `SELECT "id" FROM "owner" o WHERE "version" = 1 AND "id" ${AMONG} AND NOT EXISTS (SELECT 1 FROM "car" c WHERE c."ownerId" = o."id")`,
      [part],
    );
    found.push(...rows.map(({ id }) => id));
  }
  return found;
}

const NONE: ReadonlySet<string> = new Set();

async function idsReferred(
  sql: Sql,
  {
    table,
    column,
    where = '1 = 1',
  }: { readonly table: string; readonly column: string; readonly where: string | undefined },
  ids: readonly string[],
  except: ReadonlySet<string>,
): Promise<string[]> {
  const found = new Set<string>();
  const row = except.size === 0 ? `''` : '"id"';
  for (const part of parts(ids)) {
    const rows = await sql.all<{ id: string; row: string }>(
      `SELECT DISTINCT "${column}" AS "id", ${row} AS "row" FROM "${table}" WHERE ${where} AND "${column}" ${AMONG}`,
      [part],
    );
    for (const one of rows) if (!except.has(one.row)) found.add(one.id);
  }
  return [...found];
}

/** Takes the records of a run out again, with all that follows from them. */
export async function removeMade(sql: Sql, made: MadeIds): Promise<void> {
  for (const part of parts(made.cars)) await unwriteLetters(sql, part);
  for (const part of parts(made.owners)) {
    await sql.run(
      `DELETE FROM "letter_body" WHERE "letterId" IN (SELECT "id" FROM "letter" WHERE "ownerId" ${AMONG})`,
      [part],
    );
  }
  for (const { table, columns, fate } of REFERENCES) {
    if (fate === 'stays') continue;
    for (const [column, kind] of Object.entries(columns)) {
      for (const part of parts(made[kind])) {
        await sql.run(`DELETE FROM "${table}" WHERE "${column}" ${AMONG}`, [part]);
      }
    }
  }
}

// A letter of the club to all says nothing of a car, and no round writes it again: it stays for the
// member's other cars.
const FOR_OTHERS = `(l."kind" = 'club-letter' AND EXISTS (SELECT 1 FROM "letter_occasion" x WHERE x."letterId" = l."id" AND NOT x."carId" ${AMONG}))`;

/**
 * Takes letters back that wait, or were cancelled, and speak of some cars, to owners who were here before
 * too: what they say of other cars is written anew by the next round.
 */
async function unwriteLetters(sql: Sql, carIds: readonly string[]): Promise<void> {
  const letters = await sql.all<{ id: string }>(
    `SELECT DISTINCT l."id" FROM "letter" l JOIN "letter_occasion" o ON o."letterId" = l."id" WHERE l."state" IN ('planned', 'cancelled') AND o."carId" ${AMONG} AND NOT ${FOR_OTHERS}`,
    [carIds, carIds],
  );
  for (const part of parts(letters.map(({ id }) => id))) {
    await sql.run(
      `UPDATE "car" SET "lookAt" = ? WHERE "id" IN (SELECT "carId" FROM "letter_occasion" WHERE "letterId" ${AMONG})`,
      [LOOK_NOW, part],
    );
    await sql.run(`DELETE FROM "letter_occasion" WHERE "letterId" ${AMONG}`, [part]);
    await sql.run(`DELETE FROM "letter_body" WHERE "letterId" ${AMONG}`, [part]);
    await sql.run(`DELETE FROM "letter" WHERE "id" ${AMONG}`, [part]);
  }
}

/** How many rows refer to what was made; one that does so by two columns counts once. */
async function referring(
  sql: Sql,
  { table, columns, where }: Reference,
  made: MadeIds,
): Promise<number> {
  let most = 0;
  for (const [column, kind] of Object.entries(columns)) {
    most = Math.max(most, await counted(sql, table, column, made[kind], where));
  }
  return most;
}

async function counted(
  sql: Sql,
  table: string,
  column: string,
  ids: readonly string[],
  where = '1 = 1',
): Promise<number> {
  let sum = 0;
  for (const part of parts(ids)) {
    const row = await first<{ n: number | string }>(
      sql,
      `SELECT COUNT(*) AS "n" FROM "${table}" WHERE ${where} AND "${column}" ${AMONG}`,
      [part],
    );
    sum += Number(row?.n ?? 0);
  }
  return sum;
}

const IDS_AT_ONCE = 500;

function parts(ids: readonly string[]): string[][] {
  const count = Math.ceil(ids.length / IDS_AT_ONCE);
  return Array.from({ length: count }, (_, n) => ids.slice(n * IDS_AT_ONCE, (n + 1) * IDS_AT_ONCE));
}
