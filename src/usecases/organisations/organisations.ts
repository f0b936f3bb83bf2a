import { v7 as newId } from 'uuid';
import { invalid, notFound } from '../../domain/refusal.ts';
import type { Caller, Context, Scope } from '../context/context.ts';
import { hashOf, newSecret } from '../context/secret.ts';
import { insertKey, keyOfHash } from '../../store/organisations/key-rows.ts';
import {
  findOrganisation,
  insertOrganisation,
  organisationNamed,
} from '../../store/organisations/organisation-rows.ts';

export type OrganisationKind = 'shop' | 'club' | 'private';

export interface OrganisationRecord {
  readonly id: string;
  readonly name: string;
  readonly kind: OrganisationKind;
  readonly timeZone: string;
  readonly language: string;
  readonly postalAddress: string | null;
  readonly phone: string | null;
  readonly email: string | null;
  /** The picture at the head of its letters, as a data address. */
  readonly logo: string | null;
  readonly letterHours: { readonly from: number; readonly to: number };
  readonly nightAlarms: boolean;
  readonly version: number;
}

export interface NewOrganisation {
  readonly name: string;
  readonly kind?: OrganisationKind;
  readonly timeZone?: string;
  readonly language?: string;
}

/**
 * Makes a key for an organisation, and the organisation too if its name is new. The key is returned
 * once and stored only as a hash.
 */
export async function makeKey(
  context: Context,
  organisation: NewOrganisation,
  scope: Scope,
): Promise<{ key: string; organisationId: string; created: boolean }> {
  const name = organisation.name.trim();
  if (name === '' || name.length > 200)
    throw invalid('name', 'Give a name of 1 to 200 characters.');
  const at = context.now();
  const { secret, hash } = newSecret('fk_');
  return context.store.writeSql(async (sql) => {
    const fresh = newId();
    // Of two who bring in the same name at once, the second waits here and finds the first one's.
    const made = await insertOrganisation(sql, {
      id: fresh,
      name,
      kind: organisation.kind ?? 'shop',
      timeZone: organisation.timeZone ?? 'Europe/London',
      language: organisation.language ?? 'en',
      createdAt: at,
    });
    const known = await organisationNamed(sql, name);
    const organisationId = known?.id ?? fresh;
    await insertKey(sql, { id: newId(), organisationId, hash, scope, createdAt: at });
    return { key: secret, organisationId, created: made };
  });
}

/** Whose key this is, or null. */
export async function callerOf(context: Context, key: string): Promise<Caller | null> {
  const row = await keyOfHash(context.store.sql, hashOf(key));
  return row === null
    ? null
    : callerWithKey({ keyId: row.id, organisationId: row.organisationId, scope: row.scope });
}

/** Whoever holds a key. */
export function callerWithKey({
  keyId,
  organisationId,
  scope,
}: Pick<Caller, 'keyId' | 'organisationId'> & { readonly scope: string }): Caller {
  const author = { id: `key:${keyId}`, name: 'access key' };
  return { keyId, organisationId, scope: scope as Scope, author };
}

/** The caller's own organisation. */
export async function showOrganisation(
  context: Context,
  caller: Caller,
): Promise<OrganisationRecord> {
  const row = await findOrganisation(context.store.records, caller.organisationId);
  if (row === null) throw notFound('organisation');
  const [from = '8', to = '20'] = row.letterHours.split('-');
  return {
    id: row.id,
    name: row.name,
    kind: row.kind as OrganisationKind,
    timeZone: row.timeZone,
    language: row.language,
    postalAddress: row.postalAddress,
    phone: row.phone,
    email: row.email,
    logo: row.logo,
    letterHours: { from: Number(from), to: Number(to) },
    nightAlarms: row.nightAlarms,
    version: row.version,
  };
}
