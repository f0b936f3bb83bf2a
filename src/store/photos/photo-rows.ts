import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Photo } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, flag, forUpdate, insertRows } from '../database/sql.ts';

export type PhotoRow = Photo;

/** The pixels of a photo: JPEG in base64url, so that every database and export carries them as text. */
export interface PhotoData {
  readonly large: string;
  readonly small: string;
}

const THERE = '"removedAt" IS NULL';
// What was photographed on the day of a visit of the car, before the visit was recorded, belongs to it.
const OF_VISIT = `p."removedAt" IS NULL AND (p."visitId" = v."id" OR (p."visitId" IS NULL AND p."carId" = v."carId" AND p."takenOn" = v."doneOn"))`;

/** Stores a photo with its pixels; false where one of this id is there already. */
export async function insertPhoto(sql: Sql, row: PhotoRow, data: PhotoData): Promise<boolean> {
  if ((await insertRows(sql, 'photo', [row], true)) === 0) return false;
  const { id: photoId, organisationId } = row;
  await insertRows(sql, 'photo_data', [{ photoId, organisationId, ...data }]);
  return true;
}

/** A photo that was not removed; null where an organisation has none of this id. */
export function findPhoto(
  sql: Sql,
  organisationId: string,
  id: string,
  lock = false,
): Promise<PhotoRow | null> {
  return first(
    sql,
    `SELECT * FROM "photo" WHERE "organisationId" = ? AND "id" = ? AND ${THERE}${lock ? forUpdate(sql) : ''}`,
    [organisationId, id],
  );
}

/** The pixels of a photo of an organisation in one of its sizes. */
export async function pixelsOf(
  sql: Sql,
  organisationId: string,
  id: string,
  size: keyof PhotoData,
): Promise<string | null> {
  const row = await first<PhotoData>(
    sql,
    'SELECT "large", "small" FROM "photo_data" WHERE "organisationId" = ? AND "photoId" = ?',
    [organisationId, id],
  );
  return row?.[size] ?? null;
}

/** The photos of a car, the newest first. */
export async function photosOfCar(
  sql: Sql,
  organisationId: string,
  carId: string,
  most: number,
): Promise<PhotoRow[]> {
  const rows = await sql.all<PhotoRow>(
    `SELECT * FROM "photo" WHERE "organisationId" = ? AND "carId" = ? AND ${THERE} ORDER BY "takenOn" DESC, "id" DESC LIMIT ?`,
    [organisationId, carId, most],
  );
  return rows.map(readable);
}

/** The photos of a visit, in the order in which they were taken. */
export async function photosOfVisit(
  sql: Sql,
  organisationId: string,
  visitId: string,
): Promise<PhotoRow[]> {
  const rows = await sql.all<PhotoRow>(
    `SELECT p.* FROM "photo" p JOIN "visit" v ON ${OF_VISIT} WHERE v."id" = ? AND p."organisationId" = ? ORDER BY p."id"`,
    [visitId, organisationId],
  );
  return rows.map(readable);
}

/** The photos of a visit that its report shows, small, in the order in which they were taken. */
export function photosForReport(
  sql: Sql,
  visitId: string,
  most: number,
): Promise<{ small: string; words: string | null; pivotCode: string | null }[]> {
  return sql.all(
    `SELECT d."small", p."words", p."pivotCode" FROM "photo" p JOIN "visit" v ON ${OF_VISIT} JOIN "photo_data" d ON d."photoId" = p."id" WHERE v."id" = ? AND p."inLetter" = TRUE ORDER BY p."id" LIMIT ?`,
    [visitId, most],
  );
}

/** How many photos of a car are of a day. */
export async function countOn(sql: Sql, carId: string, takenOn: Day): Promise<number> {
  const row = await first<{ n: number }>(
    sql,
    `SELECT COUNT(*) AS "n" FROM "photo" WHERE "carId" = ? AND "takenOn" = ? AND ${THERE}`,
    [carId, takenOn],
  );
  return row?.n ?? 0;
}

/** Says anew what a photo shows; false where it was changed or removed meanwhile. */
export async function changePhotoRow(
  sql: Sql,
  { id, version }: Pick<PhotoRow, 'id' | 'version'>,
  { pivotCode, words, inLetter }: Pick<PhotoRow, 'pivotCode' | 'words' | 'inLetter'>,
): Promise<boolean> {
  const changed = await sql.run(
    `UPDATE "photo" SET "pivotCode" = ?, "words" = ?, "inLetter" = ?, "version" = "version" + 1 WHERE "id" = ? AND "version" = ? AND ${THERE}`,
    [pivotCode, words, inLetter, id, version],
  );
  return changed > 0;
}

/** Takes a photo away: its pixels are deleted, and that it was there stays. */
export async function dropPhoto(sql: Sql, id: string, at: Instant): Promise<void> {
  await sql.run('DELETE FROM "photo_data" WHERE "photoId" = ?', [id]);
  await sql.run('UPDATE "photo" SET "removedAt" = ?, "version" = "version" + 1 WHERE "id" = ?', [
    at,
    id,
  ]);
}

/** Takes away all photos of the cars of an owner, with what was said of them. */
export async function erasePhotos(sql: Sql, ownerId: string, at: Instant): Promise<void> {
  const cars = 'SELECT "id" FROM "car" WHERE "ownerId" = ?';
  await sql.run(
    `DELETE FROM "photo_data" WHERE "photoId" IN (SELECT "id" FROM "photo" WHERE "carId" IN (${cars}))`,
    [ownerId],
  );
  await sql.run(
    `UPDATE "photo" SET "words" = NULL, "removedAt" = COALESCE("removedAt", ?) WHERE "carId" IN (${cars})`,
    [at, ownerId],
  );
}

function readable(row: PhotoRow): PhotoRow {
  return { ...row, inLetter: flag(row.inLetter) };
}
