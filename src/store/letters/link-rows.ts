import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

/** A link as stored: the hash of its token and the one purpose that it serves. */
export type LinkRow = {
  id: string;
  organisationId: string;
  hash: string;
  purpose: string;
  ownerId: string | null;
  carId: string | null;
  subject: string | null;
  createdAt: string;
  usedAt: string | null;
  revokedAt: string | null;
  /** When it ends by itself; null for what must open for ever, such as stopping letters. */
  expiresAt: string | null;
  /** Made by somebody of the organisation, who answers for it, and not by a letter. */
  byHand: boolean;
};

export async function storeLinks(sql: Sql, rows: readonly LinkRow[]): Promise<void> {
  await insertRows(sql, 'link', rows);
}

/** The live link of a purpose with this hash; null for links that ended and those of other purposes. */
export function findLink(
  sql: Sql,
  purpose: string,
  hash: string,
  at: Instant,
): Promise<LinkRow | null> {
  return first(
    sql,
    'SELECT * FROM "link" WHERE "hash" = ? AND "purpose" = ? AND "revokedAt" IS NULL AND ("expiresAt" IS NULL OR "expiresAt" > ?)',
    [hash, purpose, at],
  );
}

/** Revokes every link of an organisation that was made for a purpose. */
export async function revokeLinks(
  sql: Sql,
  organisationId: string,
  purpose: string,
  at: Instant,
): Promise<void> {
  await sql.run(
    `UPDATE "link" SET "revokedAt" = ? WHERE "organisationId" = ? AND "purpose" = ? AND "revokedAt" IS NULL`,
    [at, organisationId, purpose],
  );
}
