import type { Instant } from '../../domain/calendar/instant.ts';
import type { Person } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

export type PersonRow = Person;

export async function insertPerson(sql: Sql, row: PersonRow): Promise<void> {
  await insertRows(sql, 'person', [{ ...row }]);
}

/** Somebody who has not left, by id. */
export function findPerson(sql: Sql, id: string): Promise<PersonRow | null> {
  return first(sql, 'SELECT * FROM "person" WHERE "id" = ? AND "endedAt" IS NULL', [id]);
}

/** Somebody of an organisation who has not left. */
export function personOf(sql: Sql, organisationId: string, id: string): Promise<PersonRow | null> {
  return first(
    sql,
    'SELECT * FROM "person" WHERE "id" = ? AND "organisationId" = ? AND "endedAt" IS NULL',
    [id, organisationId],
  );
}

/** Whoever signs in with an address and has not left. */
export function personAt(sql: Sql, email: string): Promise<PersonRow | null> {
  return first(sql, 'SELECT * FROM "person" WHERE "email" = ? AND "endedAt" IS NULL', [email]);
}

/** A person as the list of an organisation shows them. */
export type ListedPersonRow = Pick<
  PersonRow,
  'id' | 'name' | 'email' | 'role' | 'createdAt' | 'passwordHash'
> & { readonly passkeys: number; readonly seenAt: Instant | null };

/** The people of an organisation who have not left, with how they sign in and when they were last here. */
export function peopleOf(sql: Sql, organisationId: string): Promise<ListedPersonRow[]> {
  return sql.all(
    'SELECT p."id", p."name", p."email", p."role", p."createdAt", p."passwordHash", (SELECT COUNT(*) FROM "passkey" k WHERE k."personId" = p."id") AS "passkeys", (SELECT MAX(s."seenAt") FROM "person_session" s WHERE s."personId" = p."id") AS "seenAt" FROM "person" p WHERE p."organisationId" = ? AND p."endedAt" IS NULL ORDER BY p."name", p."id"',
    [organisationId],
  );
}

/** Whether a manager of an organisation signs in as themselves. */
export async function hasManager(sql: Sql, organisationId: string): Promise<boolean> {
  const row = await first<{ id: string }>(
    sql,
    `SELECT "id" FROM "person" WHERE "organisationId" = ? AND "role" = 'manager' AND "endedAt" IS NULL LIMIT 1`,
    [organisationId],
  );
  return row !== null;
}

/** Whether nothing and nobody is here yet: neither an organisation nor a person. */
export async function isNothingHere(sql: Sql): Promise<boolean> {
  const row = await first<{ id: string }>(
    sql,
    'SELECT "id" FROM "organisation" UNION ALL SELECT "id" FROM "person" LIMIT 1',
  );
  return row === null;
}

export async function setRole(sql: Sql, id: string, role: string): Promise<void> {
  await sql.run('UPDATE "person" SET "role" = ? WHERE "id" = ?', [role, id]);
}

/** Notes in which language somebody is spoken to; null for that of their organisation. */
export async function setLanguage(sql: Sql, id: string, language: string | null): Promise<void> {
  await sql.run('UPDATE "person" SET "language" = ? WHERE "id" = ?', [language, id]);
}

/** How many managers an organisation has besides one person. */
export async function otherManagers(sql: Sql, organisationId: string, id: string): Promise<number> {
  const row = await first<{ n: number }>(
    sql,
    `SELECT COUNT(*) AS "n" FROM "person" WHERE "organisationId" = ? AND "id" <> ? AND "role" = 'manager' AND "endedAt" IS NULL`,
    [organisationId, id],
  );
  return row?.n ?? 0;
}

/** Somebody leaves: the name stays for what they did, the address is free again. */
export async function endPerson(sql: Sql, id: string, at: Instant): Promise<void> {
  await sql.run('UPDATE "person" SET "endedAt" = ?, "email" = ? WHERE "id" = ?', [
    at,
    `left:${id}`,
    id,
  ]);
}

/** A password with the authenticator that goes with it, and when both were set. */
export type PasswordRow = Pick<
  PersonRow,
  'passwordHash' | 'totpSecret' | 'totpStep' | 'passwordSetAt'
>;

/** Keeps a password with the authenticator that goes with it. */
export async function setPassword(
  sql: Sql,
  id: string,
  { passwordHash, totpSecret, totpStep, passwordSetAt }: PasswordRow,
): Promise<void> {
  await sql.run(
    'UPDATE "person" SET "passwordHash" = ?, "totpSecret" = ?, "totpStep" = ?, "passwordSetAt" = ? WHERE "id" = ?',
    [passwordHash, totpSecret, totpStep, passwordSetAt, id],
  );
}

/** Takes a step of the authenticator; false where it or a later one was taken before. */
export async function takeTotpStep(sql: Sql, id: string, step: number): Promise<boolean> {
  const taken = await sql.run(
    'UPDATE "person" SET "totpStep" = ? WHERE "id" = ? AND ("totpStep" IS NULL OR "totpStep" < ?)',
    [step, id, step],
  );
  return taken > 0;
}
