import type { Instant } from '../../domain/calendar/instant.ts';
import type { Passkey, RecoveryCode } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, insertRows } from '../database/sql.ts';

export type PasskeyRow = Passkey;

export async function insertPasskey(sql: Sql, row: PasskeyRow): Promise<void> {
  await insertRows(sql, 'passkey', [{ ...row }]);
}

/** The passkeys of a person, the oldest first. */
export function passkeysOf(sql: Sql, personId: string): Promise<PasskeyRow[]> {
  return sql.all('SELECT * FROM "passkey" WHERE "personId" = ? ORDER BY "id"', [personId]);
}

/** The passkey that a device answered with. */
export function passkeyNamed(sql: Sql, credentialId: string): Promise<PasskeyRow | null> {
  return first(sql, 'SELECT * FROM "passkey" WHERE "credentialId" = ?', [credentialId]);
}

export async function notePasskeyUse(
  sql: Sql,
  id: string,
  counter: number,
  at: Instant,
): Promise<void> {
  await sql.run('UPDATE "passkey" SET "counter" = ?, "lastUsedAt" = ? WHERE "id" = ?', [
    counter,
    at,
    id,
  ]);
}

/** Takes one passkey of a person away; false where there is none. */
export async function removePasskey(sql: Sql, personId: string, id: string): Promise<boolean> {
  return (
    (await sql.run('DELETE FROM "passkey" WHERE "id" = ? AND "personId" = ?', [id, personId])) > 0
  );
}

/** Replaces all recovery codes of a person. */
export async function storeRecoveryCodes(
  sql: Sql,
  personId: string,
  rows: readonly RecoveryCode[],
  at: Instant,
): Promise<void> {
  await sql.run('UPDATE "person" SET "recoveryCodesMadeAt" = ? WHERE "id" = ?', [at, personId]);
  await sql.run('DELETE FROM "recovery_code" WHERE "personId" = ?', [personId]);
  await insertRows(
    sql,
    'recovery_code',
    rows.map((row) => ({ ...row })),
  );
}

/** Uses up a recovery code; false where the person has none of this hash left. */
export async function useRecoveryCode(
  sql: Sql,
  personId: string,
  hash: string,
  at: Instant,
): Promise<boolean> {
  const used = await sql.run(
    'UPDATE "recovery_code" SET "usedAt" = ? WHERE "personId" = ? AND "hash" = ? AND "usedAt" IS NULL',
    [at, personId, hash],
  );
  return used > 0;
}

/** How many recovery codes a person has left. */
export async function recoveryCodesLeft(sql: Sql, personId: string): Promise<number> {
  const row = await first<{ n: number }>(
    sql,
    'SELECT COUNT(*) AS "n" FROM "recovery_code" WHERE "personId" = ? AND "usedAt" IS NULL',
    [personId],
  );
  return row?.n ?? 0;
}

/** Takes every means of signing in from a person, and ends what was begun with them. */
export async function forgetMeans(sql: Sql, personId: string): Promise<void> {
  await sql.run('DELETE FROM "passkey" WHERE "personId" = ?', [personId]);
  await sql.run('DELETE FROM "recovery_code" WHERE "personId" = ?', [personId]);
  await sql.run('DELETE FROM "person_session" WHERE "personId" = ?', [personId]);
  await sql.run(
    'UPDATE "person" SET "passwordHash" = NULL, "totpSecret" = NULL, "totpStep" = NULL, "passwordSetAt" = NULL, "recoveryCodesMadeAt" = NULL WHERE "id" = ?',
    [personId],
  );
}
