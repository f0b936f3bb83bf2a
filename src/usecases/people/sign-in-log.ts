import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import type { PersonRow } from '../../store/people/person-rows.ts';
import type { NamedSignInRow } from '../../store/people/sign-in-log-rows.ts';
import {
  cameInBefore,
  insertSignIn,
  newBrowserSince,
  signInsOf,
  signInsOfPerson,
} from '../../store/people/sign-in-log-rows.ts';
import type { Caller, Context, Self } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';
import { hashOf, newSecret } from '../context/secret.ts';
import type { Means } from './sessions.ts';

/** Where somebody comes from who signs in. */
export interface Arrival {
  /** What the browser calls itself. */
  readonly device: string;
  /** The network, without the end of the address. */
  readonly network: string;
  /** The secret by which the browser is known here; null where it has none. */
  readonly browser: string | null;
}

/** What the browser of somebody who came in is told. */
export interface CameIn {
  /** To be known by from now on. */
  readonly browser: string;
  /** Nobody of this name came in by it before, and they came in by another. */
  readonly isNew: boolean;
  /** Since they last came in by it, somebody did under their name by a browser that was new. */
  readonly elsewhere: boolean;
}

/** Notes that somebody came in. Call it in the transaction that begins the session. */
export async function noteCameIn(
  sql: Sql,
  person: Pick<PersonRow, 'id' | 'organisationId'>,
  arrival: Arrival,
  { means, at }: { readonly means: Means; readonly at: Instant },
): Promise<CameIn> {
  const browser = arrival.browser ?? newSecret().secret;
  const browserHash = hashOf(browser);
  const known = await cameInBefore(sql, person.id, browserHash);
  const isNew = !known && (await cameInBefore(sql, person.id, null));
  const elsewhere = known && (await newBrowserSince(sql, person.id, browserHash));
  await insertSignIn(sql, {
    ...lineOf(person, arrival, means, at),
    outcome: 'in',
    browserHash,
    newBrowser: isNew,
  });
  return { browser, isNew, elsewhere };
}

/**
 * Notes a try that failed: by a passkey, only where somebody here has it. For an address that nobody has the line is nobody's, so that it takes the
 * same time; only the person and the managers ever read the log.
 */
export async function noteFailed(
  sql: Sql,
  person: Pick<PersonRow, 'id' | 'organisationId'> | null,
  arrival: Arrival,
  {
    means,
    outcome,
    at,
  }: {
    readonly means: 'password' | 'passkey';
    readonly outcome: 'wrong' | 'held-off';
    readonly at: Instant;
  },
): Promise<void> {
  const line = lineOf(person, arrival, means, at);
  await insertSignIn(sql, { ...line, outcome, browserHash: null, newBrowser: false });
}

const DEVICE_LENGTH = 300;

function lineOf(
  person: Pick<PersonRow, 'id' | 'organisationId'> | null,
  { device, network }: Arrival,
  means: Means,
  at: Instant,
) {
  return {
    id: newId(),
    organisationId: person?.organisationId ?? null,
    personId: person?.id ?? null,
    at,
    means,
    network,
    device: device.slice(0, DEVICE_LENGTH),
  };
}

export interface SignInRecord {
  readonly id: string;
  readonly name: string;
  readonly at: Instant;
  readonly means: Means;
  /** `held-off` is the first of too many tries; those behind it are not noted. */
  readonly outcome: 'in' | 'wrong' | 'held-off';
  readonly network: string;
  readonly device: string;
  readonly newBrowser: boolean;
}

/** Who signed in to the caller's organisation, or tried to, the newest first. */
export async function listSignIns(
  context: Context,
  caller: Caller,
  { limit, after }: PageRequest,
): Promise<Page<SignInRecord>> {
  requireRight(caller, 'keep-people');
  const [before = null] = partsOfCursor(after, ['id']) ?? [];
  const part = { before, most: limit + 1 };
  const rows = await signInsOf(context.store.sql, caller.organisationId, part);
  return pageOf(rows, limit, recordOf, ({ id }) => [id]);
}

/** One's own, the newest first. */
export async function listOwnSignIns(
  context: Context,
  self: Self,
  most: number,
): Promise<SignInRecord[]> {
  return (await signInsOfPerson(context.store.sql, self.personId, most)).map(recordOf);
}

function recordOf(row: NamedSignInRow): SignInRecord {
  return {
    ...row,
    means: row.means as Means,
    outcome: row.outcome as SignInRecord['outcome'],
    newBrowser: flag(row.newBrowser),
  };
}
