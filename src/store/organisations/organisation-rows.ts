import type { Organisation } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, forUpdate, insertRows } from '../database/sql.ts';
import type { Records } from '../database/store.ts';

/** An organisation as a plain statement reads it; read `nightAlarms` and `dailyMail` with `flag`. */
export type OrganisationRow = Omit<Organisation, 'nightAlarms' | 'dailyMail' | 'createdAt'> & {
  readonly nightAlarms: unknown;
  readonly dailyMail: unknown;
};

/** An organisation, or null. By a plain statement: every first page after a start asks this. */
export function findOrganisation(sql: Sql, id: string): Promise<OrganisationRow | null> {
  return first(sql, 'SELECT * FROM "organisation" WHERE "id" = ?', [id]);
}

/** The organisation of a name, or null. */
export function organisationNamed(
  sql: Sql,
  name: string,
): Promise<Pick<Organisation, 'id' | 'kind'> | null> {
  return first(sql, 'SELECT "id", "kind" FROM "organisation" WHERE "name" = ?', [name]);
}

/** Whether any organisation bears one of these names. */
export async function isAnyNamed(records: Records, names: readonly string[]): Promise<boolean> {
  return (await records.organisation.count({ where: { name: { in: [...names] } } })) > 0;
}

/** Adds an organisation; false where one of its name is there. */
export async function insertOrganisation(
  sql: Sql,
  row: Partial<Organisation> &
    Pick<Organisation, 'id' | 'name' | 'kind' | 'timeZone' | 'language' | 'createdAt'>,
): Promise<boolean> {
  return (await insertRows(sql, 'organisation', [row], true)) > 0;
}

/** Locks an organisation until the transaction ends; null where there is none of this id. */
export function lockOrganisation(sql: Sql, id: string): Promise<OrganisationRow | null> {
  return first(sql, `SELECT * FROM "organisation" WHERE "id" = ?${forUpdate(sql)}`, [id]);
}

/** Changes what an organisation says of itself, and counts its version up. */
export async function changeOrganisationRow(
  sql: Sql,
  before: Pick<Organisation, 'id' | 'version'>,
  next: Pick<
    Organisation,
    | 'name'
    | 'kind'
    | 'timeZone'
    | 'language'
    | 'postalAddress'
    | 'phone'
    | 'email'
    | 'logo'
    | 'letterHours'
    | 'nightAlarms'
    | 'dailyMail'
  >,
): Promise<void> {
  await sql.run(
    'UPDATE "organisation" SET "name" = ?, "kind" = ?, "timeZone" = ?, "language" = ?, "postalAddress" = ?, "phone" = ?, "email" = ?, "logo" = ?, "letterHours" = ?, "nightAlarms" = ?, "dailyMail" = ?, "version" = ? WHERE "id" = ?',
    [
      next.name,
      next.kind,
      next.timeZone,
      next.language,
      next.postalAddress,
      next.phone,
      next.email,
      next.logo,
      next.letterHours,
      next.nightAlarms,
      next.dailyMail,
      before.version + 1,
      before.id,
    ],
  );
}

/** Whose diary it is, for the head of a calendar; null where there is no such organisation. */
export function letterheadOf(
  sql: Sql,
  id: string,
): Promise<Pick<Organisation, 'name' | 'email' | 'language' | 'timeZone'> | null> {
  return first(
    sql,
    'SELECT "name", "email", "language", "timeZone" FROM "organisation" WHERE "id" = ?',
    [id],
  );
}

/** The ids of all organisations. */
export async function organisationIds(sql: Sql): Promise<string[]> {
  const rows = await sql.all<Pick<Organisation, 'id'>>(
    'SELECT "id" FROM "organisation" ORDER BY "id"',
  );
  return rows.map(({ id }) => id);
}
