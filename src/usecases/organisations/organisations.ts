import { addHours } from '../../domain/calendar/instant.ts';
import type { OrganisationKind } from '../../domain/organisation-kind.ts';
import { invalid, notFound } from '../../domain/refusal.ts';
import { flag } from '../../store/database/sql.ts';
import type { Caller, Context, Scope } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { hashOf } from '../context/secret.ts';
import type { LiveKeyRow } from '../../store/organisations/key-rows.ts';
import { carsOfKey, keyOfHash, noteKeyUse } from '../../store/organisations/key-rows.ts';
import type { KeyWish } from './keys.ts';
import { keepKey } from './keys.ts';
import {
  findOrganisation,
  insertOrganisation,
  organisationNamed,
} from '../../store/organisations/organisation-rows.ts';

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
  /** Its own address gets one mail a day with what matters. */
  readonly dailyMail: boolean;
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
 * once and stored only as a hash. Another kind than a known organisation has is refused.
 */
export async function makeKey(
  context: Context,
  organisation: NewOrganisation,
  scope: Scope,
  wish: KeyWish = {},
): Promise<{ key: string; organisationId: string; created: boolean }> {
  const name = organisation.name.trim();
  if (name === '' || name.length > 200)
    throw invalid('name', 'Give a name of 1 to 200 characters.');
  const at = context.now();
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
    const { kind } = organisation;
    if (known !== null && kind !== undefined && known.kind !== kind) {
      throw invalid(
        '--kind',
        `“${name}” is there already, as a ${known.kind}. Leave --kind out for a key of it, or take another name for a ${kind}. What it is stands in its settings.`,
      );
    }
    const organisationId = known?.id ?? fresh;
    const { key } = await keepKey(sql, organisationId, scope, wish, at);
    return { key, organisationId, created: made };
  });
}

/** The id of the organisation of a name; refused where there is none. */
export async function organisationIdOf(context: Context, name: string): Promise<string> {
  const found = await organisationNamed(context.store.sql, name.trim());
  if (found === null) throw invalid('--organisation', `There is no organisation "${name}".`);
  return found.id;
}

/** Whose key this is, or null; when it was used is noted, to the hour. */
export async function callerOf(context: Context, key: string): Promise<Caller | null> {
  const at = context.now();
  const row = await keyOfHash(context.store.sql, hashOf(key), at);
  return row === null ? null : callerWithKey(context, row);
}

/** Whoever holds a key that opens something. */
export async function callerWithKey(context: Context, row: LiveKeyRow): Promise<Caller> {
  const { store } = context;
  const { id, organisationId, name, lastUsedAt } = row;
  const at = context.now();
  if (lastUsedAt === null || addHours(lastUsedAt, 1) <= at) {
    // A full disk must not keep anybody from reading: then the note is missing, and nothing else.
    await store.writeSql((sql) => noteKeyUse(sql, id, at)).catch(() => undefined);
  }
  return {
    keyId: id,
    organisationId,
    scope: row.scope as Scope,
    ...(flag(row.boundToCars) ? { carIds: await carsOfKey(store.sql, id) } : {}),
    author: { id: `key:${id}`, name: name === '' ? 'an access key' : `the key “${name}”` },
  };
}

/** The caller's own organisation. */
export async function showOrganisation(
  context: Context,
  caller: Caller,
): Promise<OrganisationRecord> {
  const row = await findOrganisation(context.store.sql, caller.organisationId);
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
    nightAlarms: flag(row.nightAlarms),
    dailyMail: flag(row.dailyMail),
    version: row.version,
  };
}
