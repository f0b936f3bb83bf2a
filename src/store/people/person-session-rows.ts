import type { Instant } from '../../domain/calendar/instant.ts';
import type { Person, PersonSession } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

export type PersonSessionRow = PersonSession;

/** Stores a session and forgets those that have ended. */
export async function storePersonSession(sql: Sql, row: PersonSessionRow): Promise<void> {
  await sql.run('DELETE FROM "person_session" WHERE "expiresAt" <= ?', [row.createdAt]);
  await insertRows(sql, 'person_session', [{ ...row }]);
}

/** Who signed in with a token, with the session; null where it ended, was idle too long, or they left. */
export function personOfSession(
  sql: Sql,
  hash: string,
  now: Instant,
  seenSince: Instant,
): Promise<
  | (Pick<Person, 'id' | 'organisationId' | 'name' | 'role'> &
      Pick<PersonSession, 'seenAt' | 'createdAt'> & {
        readonly sessionId: string;
        readonly kind: string;
        readonly language: string;
      })
  | null
> {
  return first(
    sql,
    'SELECT p."id", p."organisationId", p."name", p."role", s."seenAt", s."createdAt", s."id" AS "sessionId", g."kind", COALESCE(p."language", g."language") AS "language" FROM "person_session" s JOIN "person" p ON p."id" = s."personId" JOIN "organisation" g ON g."id" = p."organisationId" WHERE s."hash" = ? AND s."expiresAt" > ? AND s."seenAt" > ? AND p."endedAt" IS NULL',
    [hash, now, seenSince],
  );
}

export async function noteSessionSeen(sql: Sql, id: string, at: Instant): Promise<void> {
  await sql.run('UPDATE "person_session" SET "seenAt" = ? WHERE "id" = ?', [at, id]);
}

/** The sessions of a person that have not ended, the last one used first. */
export function sessionsOf(
  sql: Sql,
  personId: string,
  now: Instant,
  seenSince: Instant,
): Promise<PersonSessionRow[]> {
  return sql.all(
    'SELECT * FROM "person_session" WHERE "personId" = ? AND "expiresAt" > ? AND "seenAt" > ? ORDER BY "seenAt" DESC, "id" DESC',
    [personId, now, seenSince],
  );
}

export async function endSessionOfToken(sql: Sql, hash: string): Promise<void> {
  await sql.run('DELETE FROM "person_session" WHERE "hash" = ?', [hash]);
}

/** Ends one session of a person. */
export async function endSessionOf(sql: Sql, personId: string, id: string): Promise<void> {
  await sql.run('DELETE FROM "person_session" WHERE "id" = ? AND "personId" = ?', [id, personId]);
}

/** Ends every session of a person but, where named, the one at hand. */
export async function endSessionsOf(sql: Sql, personId: string, but: string | null): Promise<void> {
  await sql.run('DELETE FROM "person_session" WHERE "personId" = ? AND "id" <> ?', [
    personId,
    but ?? '',
  ]);
}
