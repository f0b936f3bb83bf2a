import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql, SqlValue } from '../database/sql.ts';
import { AMONG } from '../database/sql.ts';

export type AnyRow = Readonly<Record<string, SqlValue>>;

/** Sales of cars that an owner bought or sold, as the trail tells of them. */
export function salesOf(
  sql: Sql,
  organisationId: string,
  ownerId: string,
): Promise<{ carId: string; at: Instant; was: string; becomes: string }[]> {
  const named = `%"${ownerId}"%`;
  return sql.all(
    `SELECT "recordId" AS "carId", "at", "was", "becomes" FROM "trail" WHERE "organisationId" = ? AND "kind" = 'car' AND "action" = 'changed' AND ("was" LIKE ? OR "becomes" LIKE ?) ORDER BY "id"`,
    [organisationId, named, named],
  );
}

/** All that is read of an owner's records, table by table. */
export async function ownerRows(
  sql: Sql,
  owner: {
    readonly id: string;
    readonly organisationId: string;
    readonly addressHash: string;
  },
  cars: { readonly now: readonly string[]; readonly ever: readonly string[] },
): Promise<Readonly<Record<string, readonly AnyRow[]>>> {
  const { id, organisationId, addressHash } = owner;
  const { now, ever } = cars;
  const visits = `SELECT "id" FROM "visit" WHERE "carId" ${AMONG}`;
  return {
    owner: await sql.all('SELECT * FROM "owner" WHERE "id" = ?', [id]),
    consent_entry: await sql.all(
      'SELECT * FROM "consent_entry" WHERE "organisationId" = ? AND ("ownerId" = ? OR "addressHash" = ?) ORDER BY "id"',
      [organisationId, id, addressHash],
    ),
    address_standing: await sql.all(
      'SELECT * FROM "address_standing" WHERE "organisationId" = ? AND "addressHash" = ?',
      [organisationId, addressHash],
    ),
    car: await sql.all('SELECT * FROM "car" WHERE "ownerId" = ? ORDER BY "id"', [id]),
    top: await sql.all(`SELECT * FROM "top" WHERE "carId" ${AMONG} ORDER BY "id"`, [now]),
    pivot: await sql.all(`SELECT * FROM "pivot" WHERE "carId" ${AMONG} ORDER BY "id"`, [now]),
    position_entry: await sql.all(
      `SELECT * FROM "position_entry" WHERE "carId" ${AMONG} ORDER BY "at", "id"`,
      [ever],
    ),
    visit: await sql.all(`SELECT * FROM "visit" WHERE "carId" ${AMONG} ORDER BY "id"`, [ever]),
    reading: await sql.all(`SELECT * FROM "reading" WHERE "visitId" IN (${visits}) ORDER BY "id"`, [
      ever,
    ]),
    finding: await sql.all(`SELECT * FROM "finding" WHERE "visitId" IN (${visits}) ORDER BY "id"`, [
      ever,
    ]),
    estimate: await sql.all('SELECT * FROM "estimate" WHERE "ownerId" = ? ORDER BY "id"', [id]),
    estimate_line: await sql.all(
      'SELECT l.* FROM "estimate_line" l JOIN "estimate" e ON e."id" = l."estimateId" WHERE e."ownerId" = ? ORDER BY l."estimateId", l."place"',
      [id],
    ),
    photo: await sql.all(`SELECT * FROM "photo" WHERE "carId" ${AMONG} ORDER BY "id"`, [ever]),
    photo_data: await sql.all(
      `SELECT d.* FROM "photo_data" d JOIN "photo" p ON p."id" = d."photoId" WHERE p."carId" ${AMONG} ORDER BY d."photoId"`,
      [ever],
    ),
    part_use: await sql.all(
      `SELECT * FROM "part_use" WHERE "visitId" IN (${visits}) ORDER BY "visitId", "part"`,
      [ever],
    ),
    offer: await sql.all(
      `SELECT f.*, t."carId" FROM "offer" f JOIN "top" t ON t."id" = f."topId" WHERE t."carId" ${AMONG} ORDER BY f."id"`,
      [ever],
    ),
    letter: await sql.all(
      'SELECT l.*, b."text", b."html", b."calendar" FROM "letter" l JOIN "letter_body" b ON b."letterId" = l."id" WHERE l."ownerId" = ? ORDER BY l."id"',
      [id],
    ),
    letter_occasion: await sql.all(
      'SELECT * FROM "letter_occasion" WHERE "ownerId" = ? ORDER BY "key"',
      [id],
    ),
    report: await sql.all(
      'SELECT r.* FROM "report" r JOIN "letter" l ON l."id" = r."letterId" WHERE l."ownerId" = ? ORDER BY r."receivedAt"',
      [id],
    ),
    round_fault: await sql.all('SELECT * FROM "round_fault" WHERE "ownerId" = ?', [id]),
    care_day_place: await sql.all(
      `SELECT * FROM "care_day_place" WHERE "carId" ${AMONG} ORDER BY "id"`,
      [ever],
    ),
    part_wish: await sql.all(
      `SELECT * FROM "part_wish" WHERE "carId" ${AMONG} ORDER BY "careDayId", "part"`,
      [ever],
    ),
    car_tie: await sql.all('SELECT * FROM "car_tie" WHERE "ownerId" = ? ORDER BY "id"', [id]),
    share: await sql.all('SELECT * FROM "share" WHERE "ownerId" = ? ORDER BY "id"', [id]),
    call_entry: await sql.all('SELECT * FROM "call_entry" WHERE "ownerId" = ? ORDER BY "id"', [id]),
    link: await sql.all('SELECT * FROM "link" WHERE "ownerId" = ? ORDER BY "id"', [id]),
    trail: await sql.all(
      `SELECT * FROM "trail" WHERE "organisationId" = ? AND ("ownerId" = ? OR "carId" ${AMONG}) ORDER BY "id"`,
      [organisationId, id, ever],
    ),
  };
}
