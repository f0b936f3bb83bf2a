import type { Instant } from '../../domain/calendar/instant.ts';
import { hasRight } from '../../domain/people/rights.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { TrailPart, TrailRow, TrailSubject } from '../../store/trail/trail-rows.ts';
import {
  ORGANISATION_KINDS_TOLD,
  namesOfPeopleAndKeys,
  trailBefore,
  trailOfKinds,
  trailOfPerson,
} from '../../store/trail/trail-rows.ts';
import type { Caller, Context, Self } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';

/** One change: who made it, when, of which record, and what stood there before. */
export interface TrailRecord {
  readonly id: string;
  readonly at: Instant;
  /** `key:ID`, `owner:ID`, `program:NAME`; `foldkeep` where no person asked. */
  readonly author: string;
  /** As people were told when it was changed; empty where the id says enough. */
  readonly authorName: string;
  readonly kind: string;
  readonly recordId: string;
  readonly action: 'recorded' | 'changed' | 'removed';
  readonly carId: string | null;
  readonly ownerId: string | null;
  readonly visitId: string | null;
  /** Whom of the organisation it is about. */
  readonly personId: string | null;
  /** Of people, invitations and keys, what they are called; empty for all else. */
  readonly of: string;
  /** The columns that were changed or removed, with what stood in them. */
  readonly was: Readonly<Record<string, unknown>> | null;
  readonly becomes: Readonly<Record<string, unknown>> | null;
}

/**
 * What was changed in an organisation's records, or about one of them, the newest first. What was
 * changed about its people and keys is told to those alone who keep them.
 */
export async function readTrail(
  context: Context,
  caller: Caller,
  { limit, after, ...subject }: PageRequest & TrailSubject,
): Promise<Page<TrailRecord>> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const part = partOf(limit, after);
  const keeps = hasRight(caller, 'keep-people');
  const rows = await trailBefore(sql, organisationId, subject, part, keeps);
  return pageNamed(sql, organisationId, rows, limit);
}

/** What was changed about the people of the organisation and its keys, or one kind of that. */
export async function readPeopleTrail(
  context: Context,
  caller: Caller,
  { limit, after }: PageRequest,
  kinds: readonly string[] = ORGANISATION_KINDS_TOLD,
): Promise<Page<TrailRecord>> {
  requireRight(caller, 'keep-people');
  const { sql } = context.store;
  const { organisationId } = caller;
  const rows = await trailOfKinds(sql, organisationId, kinds, partOf(limit, after));
  return pageNamed(sql, organisationId, rows, limit);
}

/** The latest changes of how somebody signs in, as they see them themselves. */
export async function readOwnTrail(
  context: Context,
  { organisationId }: Caller,
  { personId }: Self,
  limit: number,
): Promise<Page<TrailRecord>> {
  const { sql } = context.store;
  const rows = await trailOfPerson(sql, personId, limit + 1);
  return pageNamed(sql, organisationId, rows, limit);
}

function partOf(limit: number, after: string | undefined): TrailPart {
  const [before = null] = partsOfCursor(after, ['id']) ?? [];
  return { before, most: limit + 1 };
}

async function pageNamed(
  sql: Sql,
  organisationId: string,
  rows: readonly TrailRow[],
  limit: number,
): Promise<Page<TrailRecord>> {
  const ids = [...new Set(rows.map(namedBy).filter((id) => id !== null))];
  const named = ids.length === 0 ? [] : await namesOfPeopleAndKeys(sql, organisationId, ids);
  const names = new Map(named.map(({ id, name }) => [id, name ?? '']));
  const record = (row: TrailRow) => recordOf(row, names.get(namedBy(row) ?? '') ?? '');
  return pageOf(rows, limit, record, ({ id }) => [id]);
}

/** The record whose name says what an entry is about. */
function namedBy({ kind, recordId, personId }: TrailRow): string | null {
  if (kind === 'person' || kind === 'passkey') return personId;
  return kind === 'invitation' || kind === 'access_key' ? recordId : null;
}

function recordOf(row: TrailRow, of: string): TrailRecord {
  const { id, at, author, authorName, kind, recordId, carId, ownerId, visitId, personId } = row;
  return {
    id,
    at,
    author,
    authorName,
    kind,
    recordId,
    carId,
    ownerId,
    visitId,
    personId,
    of,
    action: row.action as TrailRecord['action'],
    was: unfolded(row.was),
    becomes: unfolded(row.becomes),
  };
}

function unfolded(json: string | null): TrailRecord['was'] {
  return json === null ? null : (JSON.parse(json) as Record<string, unknown>);
}
