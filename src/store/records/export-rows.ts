import type { Sql, SqlValue } from '../database/sql.ts';
import { marks } from '../database/sql.ts';

export type Row = Record<string, SqlValue>;

/** Where the rows of one kind of record stand. */
export interface RowSource {
  readonly table: string;
  /** A table in which some of the columns stand, under the id of the row. */
  readonly beside?: { readonly table: string; readonly id: string } | undefined;
  readonly columns: readonly string[];
  /** The columns of the key; rows come in its order. */
  readonly key: readonly string[];
  /** How many are read at a time, where they are large. */
  readonly atOnce?: number | undefined;
  /** A condition over a row `r` of those to leave out; none where absent. */
  readonly without?: string | undefined;
}

/**
 * The rows of an organisation, a few hundred at a time, so that no more than that is ever in memory.
 */
export async function* rowsOf(
  sql: Sql,
  { table, beside, columns, key, atOnce = ROWS_AT_ONCE, without }: RowSource,
  organisationId: string,
): AsyncGenerator<Row[]> {
  const listed = columns.map((column) => `"${column}"`).join(', ');
  const order = key.map((column) => `r."${column}"`).join(', ');
  const seen = without === undefined ? '' : ` AND NOT ${without}`;
  const more = beside === undefined ? '' : ` JOIN "${beside.table}" b ON b."${beside.id}" = r."id"`;
  const from = `SELECT ${listed} FROM "${table}" r${more} WHERE r."organisationId" = ?${seen}`;
  let after: SqlValue[] = [];
  for (;;) {
    const beyond = after.length === 0 ? '' : ` AND (${order}) > (${marks(key.length)})`;
    const rows = await sql.all<Row>(`${from}${beyond} ORDER BY ${order} LIMIT ${atOnce}`, [
      organisationId,
      ...after,
    ]);
    if (rows.length > 0) yield rows;
    const last = rows.at(-1);
    if (last === undefined || rows.length < atOnce) return;
    after = key.map((column) => last[column] ?? null);
  }
}

const ROWS_AT_ONCE = 200;

/** The organisations by id, or the one of a name. */
export function organisationRows(
  sql: Sql,
  columns: readonly string[],
  name: string | null,
): Promise<Row[]> {
  const listed = columns.map((column) => `"${column}"`).join(', ');
  return name === null
    ? sql.all(`SELECT ${listed} FROM "organisation" ORDER BY "id"`)
    : sql.all(`SELECT ${listed} FROM "organisation" WHERE "name" = ?`, [name]);
}

/** A car with its owner and the top that is on it, as one line of a table. */
export type TableRow = {
  id: string;
  ownerId: string;
  topId: string | null;
  /** The zone of the car; `timeZone` is its owner's. */
  carZone: string;
  unmovedDays: number | null;
  dueOn: string | null;
  name: string;
  email: string;
  phone: string | null;
  postalAddress: string | null;
  postcode: string | null;
  timeZone: string;
  language: string;
  registration: string;
  make: string | null;
  model: string | null;
  year: number | null;
  colour: string | null;
  place: string | null;
  salt: string | null;
  use: string | null;
  foldsPerYear: number | null;
  foldedLimitDays: number;
  foldFloorCelsius: number | null;
  fittedOn: string | null;
  /** The day on which the pivots under this top were oiled last. */
  lubricatedOn: string | null;
  framePattern: string | null;
  powered: 'yes' | 'no' | null;
  material: string | null;
  window: string | null;
  coverName: string | null;
  coverColour: string | null;
  makersReference: string | null;
  windowMade: string | null;
};

/** Every car of an organisation with an owner who was not erased, a few hundred at a time. */
export async function* tableRowsOf(sql: Sql, organisationId: string): AsyncGenerator<TableRow[]> {
  let after = '';
  for (;;) {
    const rows = await sql.all<TableRow>(
      `SELECT c."id", o."id" AS "ownerId", t."id" AS "topId", c."timeZone" AS "carZone", c."unmovedDays", t."dueOn", o."name", o."email", o."phone", o."postalAddress", o."postcode", o."timeZone", o."language", c."registration", c."make", c."model", c."year", c."colour", c."place", c."salt", c."use", c."foldsPerYear", c."foldedLimitDays", c."foldFloorCelsius", t."fittedOn", t."lubricatedOn", t."framePattern", CASE WHEN t."powered" THEN 'yes' WHEN t."id" IS NOT NULL THEN 'no' END AS "powered", t."material", t."window", t."coverName", t."coverColour", t."makersReference", t."windowMade" FROM "car" c JOIN "owner" o ON o."id" = c."ownerId" LEFT JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL WHERE c."organisationId" = ? AND o."erasedAt" IS NULL AND c."id" > ? ORDER BY c."id" LIMIT ${ROWS_AT_ONCE}`,
      [organisationId, after],
    );
    if (rows.length > 0) yield rows;
    const last = rows.at(-1);
    if (last === undefined || rows.length < ROWS_AT_ONCE) return;
    after = last.id;
  }
}

/** A row of one of the other tables of an export: names of columns to cells. */
export type ExportRow = Readonly<Record<string, string | number | boolean | null>>;

/** The owners of an organisation who were not erased. */
export function ownerTable(sql: Sql, organisationId: string): Promise<ExportRow[]> {
  return sql.all(
    'SELECT "name" AS "owner name", "email", "phone", "postalAddress" AS "postal address", "postcode", "timeZone" AS "time zone", "language" FROM "owner" WHERE "organisationId" = ? AND "erasedAt" IS NULL ORDER BY "name", "id"',
    [organisationId],
  );
}

/** Every top of an organisation that was on a car, those that were replaced too. */
export function topTable(sql: Sql, organisationId: string): Promise<ExportRow[]> {
  return sql.all(
    'SELECT c."registration", t."fittedOn" AS "fitted on", t."retiredOn" AS "replaced on", t."framePattern" AS "frame pattern", t."material", t."window", t."coverName" AS "cover name", t."coverColour" AS "cover colour", t."makersReference" AS "makers reference", t."windowMade" AS "window made", t."lubricatedOn" AS "oiled on", t."intervalMonths" AS "months between oilings", t."dueOn" AS "oil due on" FROM "top" t JOIN "car" c ON c."id" = t."carId" WHERE t."organisationId" = ? AND t."withdrawnAt" IS NULL ORDER BY c."registration", t."fittedOn", t."id"',
    [organisationId],
  );
}

/** Every visit of an organisation. */
export function visitTable(sql: Sql, organisationId: string): Promise<ExportRow[]> {
  return sql.all(
    'SELECT c."registration", v."kind", v."state", v."plannedOn" AS "planned on", v."doneOn" AS "done on", v."minutes", v."swayMm" AS "sway mm", v."diagonalLeftMm" AS "diagonal left mm", v."diagonalRightMm" AS "diagonal right mm", v."breakawayN" AS "breakaway N", v."notes" FROM "visit" v JOIN "car" c ON c."id" = v."carId" WHERE v."organisationId" = ? ORDER BY c."registration", COALESCE(v."doneOn", v."plannedOn"), v."id"',
    [organisationId],
  );
}

/** Every reading of an organisation, joint by joint. */
export function readingTable(sql: Sql, organisationId: string): Promise<ExportRow[]> {
  return sql.all(
    `SELECT c."registration", r."doneOn" AS "done on", p."code" AS "joint", r."state", CASE WHEN r."oiled" THEN 'yes' ELSE 'no' END AS "oiled", CASE WHEN r."repaired" THEN 'yes' ELSE 'no' END AS "repaired", r."lubricant", r."washersPresent" AS "washers present", r."axialPlayMm" AS "axial play mm", r."radialPlayMm" AS "radial play mm" FROM "reading" r JOIN "pivot" p ON p."id" = r."pivotId" JOIN "car" c ON c."id" = p."carId" WHERE r."organisationId" = ? ORDER BY c."registration", r."doneOn", p."place", r."id"`,
    [organisationId],
  );
}
