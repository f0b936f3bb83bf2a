import type { Instant } from '../../domain/calendar/instant.ts';
import { RECOVERY_CODES } from '../../domain/people/patience.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Sql } from '../../store/database/sql.ts';
import { findPerson } from '../../store/people/person-rows.ts';
import { storeRecoveryCodes } from '../../store/people/means-rows.ts';
import type { Context, Self } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { drawBytes } from '../context/random-bytes.ts';
import { hashOf } from '../context/secret.ts';
import { requireFresh } from './sessions.ts';

// Without I, L, O and U, which are read as others (Crockford's base 32).
const SIGNS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
const LENGTH = 24;

/** A code of 120 random bits as people write it down: six groups of four. */
function newCode(): string {
  const signs = [...drawBytes(LENGTH)].map((byte) => SIGNS[byte & 31] ?? '').join('');
  return signs.replace(/(.{4})(?=.)/g, '$1-');
}

/** The stored form of a code, however it was typed. 120 bits need no slow hash (ASVS 5.0, 6.5.2). */
export function hashOfCode(code: string): string {
  const bare = code.toUpperCase().replaceAll(/[^0-9A-Z]/g, '');
  return hashOf(bare.replaceAll('O', '0').replaceAll(/[IL]/g, '1'));
}

/** Whether what was typed in the place of a code of the authenticator can be a recovery code. */
export function looksLikeRecoveryCode(code: string): boolean {
  return code.replaceAll(/[^0-9A-Za-z]/g, '').length === LENGTH;
}

/** Ten fresh recovery codes in the place of all earlier ones; shown once, kept as hashes. */
export async function makeRecoveryCodes(context: Context, self: Self): Promise<string[]> {
  requireFresh(context, self);
  const person = await findPerson(context.store.sql, self.personId);
  if (person === null || person.passwordHash === null) {
    const detail = 'Recovery codes go with a password. Set one first.';
    throw new Refused({ kind: 'conflict', detail });
  }
  const at = context.now();
  return context.store.writeSql((sql) => storeCodes(sql, self.personId, at));
}

async function storeCodes(sql: Sql, personId: string, at: Instant): Promise<string[]> {
  const codes = Array.from({ length: RECOVERY_CODES }, newCode);
  const rows = codes.map((code) => ({
    id: newId(),
    personId,
    hash: hashOfCode(code),
    createdAt: at,
    usedAt: null,
  }));
  await storeRecoveryCodes(sql, personId, rows, at);
  return codes;
}
