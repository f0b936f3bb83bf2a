import type { SignIn } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

export type SignInRow = SignIn;

export async function insertSignIn(sql: Sql, row: SignInRow): Promise<void> {
  await insertRows(sql, 'sign_in', [{ ...row }]);
}

/** Whether somebody ever came in, as far back as the log goes; with this browser where one is named. */
export async function cameInBefore(
  sql: Sql,
  personId: string,
  browserHash: string | null,
): Promise<boolean> {
  const by = browserHash === null ? '' : ' AND "browserHash" = ?';
  const row = await first(
    sql,
    `SELECT "id" FROM "sign_in" WHERE "personId" = ? AND "outcome" = 'in'${by} LIMIT 1`,
    browserHash === null ? [personId] : [personId, browserHash],
  );
  return row !== null;
}

/** Whether somebody came in by a new browser since they last came in by this one. */
export async function newBrowserSince(
  sql: Sql,
  personId: string,
  browserHash: string,
): Promise<boolean> {
  const row = await first(
    sql,
    `SELECT "id" FROM "sign_in" WHERE "personId" = ? AND "outcome" = 'in' AND "newBrowser" AND "browserHash" <> ? AND "at" > (SELECT MAX(o."at") FROM "sign_in" o WHERE o."personId" = ? AND o."outcome" = 'in' AND o."browserHash" = ?) LIMIT 1`,
    [personId, browserHash, personId, browserHash],
  );
  return row !== null;
}

/** A line of the log with the name of whom it is about. */
export type NamedSignInRow = Pick<
  SignInRow,
  'id' | 'at' | 'means' | 'outcome' | 'network' | 'device' | 'newBrowser'
> & { readonly name: string };

const LINE =
  'SELECT s."id", s."at", s."means", s."outcome", s."network", s."device", s."newBrowser", p."name" FROM "sign_in" s JOIN "person" p ON p."id" = s."personId"';

/** Who signed in or tried to in an organisation, the newest first. */
export function signInsOf(
  sql: Sql,
  organisationId: string,
  { before, most }: { readonly before: string | null; readonly most: number },
): Promise<NamedSignInRow[]> {
  const older = before === null ? '' : ' AND s."id" < ?';
  return sql.all(
    `${LINE} WHERE s."organisationId" = ?${older} ORDER BY s."id" DESC LIMIT ?`,
    before === null ? [organisationId, most] : [organisationId, before, most],
  );
}

/** The same of one person. */
export function signInsOfPerson(
  sql: Sql,
  personId: string,
  most: number,
): Promise<NamedSignInRow[]> {
  return sql.all(`${LINE} WHERE s."personId" = ? ORDER BY s."id" DESC LIMIT ?`, [personId, most]);
}
