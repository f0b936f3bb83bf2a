import type { Instant } from '../../domain/calendar/instant.ts';
import type { Invitation } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

export type InvitationRow = Invitation;

export async function insertInvitation(sql: Sql, row: InvitationRow): Promise<void> {
  await insertRows(sql, 'invitation', [{ ...row }]);
}

const OPEN = '"usedAt" IS NULL AND "revokedAt" IS NULL AND "expiresAt" > ?';

/** The invitation that a link belongs to, while it is open. */
export function openInvitation(
  sql: Sql,
  hash: string,
  now: Instant,
): Promise<InvitationRow | null> {
  return first(sql, `SELECT * FROM "invitation" WHERE "hash" = ? AND ${OPEN}`, [hash, now]);
}

/** Uses an invitation up; false where somebody did so before, or it ended. */
export async function useInvitation(sql: Sql, id: string, now: Instant): Promise<boolean> {
  const used = await sql.run(`UPDATE "invitation" SET "usedAt" = ? WHERE "id" = ? AND ${OPEN}`, [
    now,
    id,
    now,
  ]);
  return used > 0;
}

/** The open invitations of an organisation, the newest first. */
export function openInvitationsOf(
  sql: Sql,
  organisationId: string,
  now: Instant,
): Promise<InvitationRow[]> {
  return sql.all(
    `SELECT * FROM "invitation" WHERE "organisationId" = ? AND ${OPEN} ORDER BY "id" DESC`,
    [organisationId, now],
  );
}

/** Takes an invitation back; false where none of this id is open. */
export async function takeInvitationBack(
  sql: Sql,
  organisationId: string,
  id: string,
  now: Instant,
): Promise<boolean> {
  const taken = await sql.run(
    `UPDATE "invitation" SET "revokedAt" = ? WHERE "organisationId" = ? AND "id" = ? AND ${OPEN}`,
    [now, organisationId, id, now],
  );
  return taken > 0;
}

/** Takes back what is open to an address or for a person, because a new one takes its place. */
export async function replaceInvitations(
  sql: Sql,
  organisationId: string,
  { email, personId }: Pick<InvitationRow, 'email' | 'personId'>,
  now: Instant,
): Promise<void> {
  await sql.run(
    `UPDATE "invitation" SET "revokedAt" = ? WHERE "organisationId" = ? AND ("email" = ? OR "personId" = ?) AND ${OPEN}`,
    [now, organisationId, email, personId, now],
  );
}

/** Takes back what was open for the first of all. */
export async function replaceFirst(sql: Sql, now: Instant): Promise<void> {
  await sql.run(
    `UPDATE "invitation" SET "revokedAt" = ? WHERE "organisationId" IS NULL AND ${OPEN}`,
    [now, now],
  );
}
