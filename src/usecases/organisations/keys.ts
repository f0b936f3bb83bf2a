import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import { invalid, notFound } from '../../domain/refusal.ts';
import type { KeyRow } from '../../store/organisations/key-rows.ts';
import {
  carsByKey,
  carsRegistered,
  endKey,
  insertKey,
  keysOf,
} from '../../store/organisations/key-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { Caller, Context, Scope } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { grouped } from '../context/grouped.ts';
import { newId } from '../context/new-id.ts';
import { newSecret } from '../context/secret.ts';

/** What a key is to be, besides its scope. */
export interface KeyWish {
  /** What it is for, so that people know it again. */
  readonly name?: string;
  /** Ends by itself after so many days; never where absent. */
  readonly days?: number;
  /** The registrations of the cars that a key for logging opens; all cars where absent. */
  readonly cars?: readonly string[];
}

export interface KeyRecord {
  readonly id: string;
  readonly name: string;
  readonly scope: Scope;
  /** Registrations of the cars that it is bound to; null where it is bound to none. */
  readonly cars: readonly string[] | null;
  readonly createdAt: Instant;
  /** To the hour; null where it was never used. */
  readonly lastUsedAt: Instant | null;
  readonly expiresAt: Instant | null;
  readonly revokedAt: Instant | null;
  /** Whether it opens anything now. */
  readonly live: boolean;
}

const LONGEST_DAYS = 3_660;
const KEYS_SHOWN = 500;

/** Makes a key for the caller's own organisation. It is returned once and stored only as a hash. */
export async function addKey(
  context: Context,
  caller: Caller,
  scope: Scope,
  wish: KeyWish,
): Promise<{ readonly id: string; readonly key: string }> {
  requireRight(caller, 'keep-people');
  if ((wish.name ?? '').trim() === '')
    throw invalid('#/name', 'Say what the key is for, to know it again.');
  return context.store.writeSql((sql) =>
    keepKey(sql, caller.organisationId, scope, wish, context.now()),
  );
}

/** Stores a new key in the transaction at hand. */
export async function keepKey(
  sql: Sql,
  organisationId: string,
  scope: Scope,
  wish: KeyWish,
  at: Instant,
): Promise<{ readonly id: string; readonly key: string }> {
  const name = (wish.name ?? '').trim();
  if (name.length > 100) throw invalid('#/name', 'A hundred characters are enough.');
  const { days } = wish;
  if (days !== undefined && !(Number.isInteger(days) && days >= 1 && days <= LONGEST_DAYS)) {
    throw invalid('#/days', `Whole days, 1 to ${LONGEST_DAYS}.`);
  }
  const carIds = wish.cars === undefined ? null : await carIdsOf(sql, organisationId, wish.cars);
  if (carIds !== null && scope !== 'log') {
    throw invalid('#/cars', 'Only a key that logs can be bound to cars. Take the scope log.');
  }
  const { secret, hash } = newSecret('fk_');
  const id = newId();
  const expiresAt = days === undefined ? null : addHours(at, days * 24);
  const row = { id, organisationId, hash, scope, name, createdAt: at, expiresAt };
  await insertKey(sql, row, carIds);
  return { id, key: secret };
}

async function carIdsOf(
  sql: Sql,
  organisationId: string,
  registrations: readonly string[],
): Promise<string[]> {
  const cars = grouped(await carsRegistered(sql, organisationId), ({ registration }) =>
    bare(registration),
  );
  if (registrations.length === 0) throw invalid('#/cars', 'Name one car at least.');
  return registrations.flatMap((registration) => {
    const found = cars.get(bare(registration));
    if (found === undefined) {
      throw invalid('#/cars', `There is no car “${registration.trim()}” here.`);
    }
    return found.map(({ id }) => id);
  });
}

/** A registration as people compare it: spaces and dashes are written as anybody likes. */
function bare(registration: string): string {
  return registration.toLowerCase().replaceAll(/[^\p{L}\p{N}]/gu, '');
}

/** The keys of the caller's organisation; those that were revoked stand at the end. */
export async function listKeys(context: Context, caller: Caller): Promise<KeyRecord[]> {
  requireRight(caller, 'keep-people');
  return keyRecords(context, caller.organisationId);
}

/** The keys of one organisation, or of all, for whoever sits at the machine. */
export async function keyRecords(
  context: Context,
  organisationId: string | null,
): Promise<(KeyRecord & Pick<KeyRow, 'organisationId'>)[]> {
  const { sql } = context.store;
  const rows = await keysOf(sql, organisationId, KEYS_SHOWN);
  const bound = rows.filter(({ boundToCars }) => boundToCars).map(({ id }) => id);
  const cars = grouped(await carsByKey(sql, bound), ({ accessKeyId }) => accessKeyId);
  const now = context.now();
  return rows.map(({ boundToCars, ...row }) => ({
    ...row,
    scope: row.scope as Scope,
    cars: boundToCars ? (cars.get(row.id) ?? []).map(({ registration }) => registration) : null,
    live: row.revokedAt === null && (row.expiresAt === null || row.expiresAt > now),
  }));
}

/** Ends a key of the caller's organisation, and whatever was signed in with it, at once. */
export async function revokeKey(context: Context, caller: Caller, id: string): Promise<void> {
  requireRight(caller, 'keep-people');
  await revokeAnyKey(context, id, caller.organisationId);
}

/** Ends a key of any organisation, for whoever sits at the machine. */
export async function revokeAnyKey(
  context: Context,
  id: string,
  organisationId: string | null = null,
): Promise<void> {
  const at = context.now();
  const ended = await context.store.writeSql((sql) => endKey(sql, id, organisationId, at));
  if (!ended) throw notFound('key that opens anything');
}
