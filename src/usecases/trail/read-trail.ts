import type { Instant } from '../../domain/calendar/instant.ts';
import type { TrailRow, TrailSubject } from '../../store/trail/trail-rows.ts';
import { trailBefore } from '../../store/trail/trail-rows.ts';
import type { Caller, Context } from '../context/context.ts';
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
  /** The columns that were changed or removed, with what stood in them. */
  readonly was: Readonly<Record<string, unknown>> | null;
  readonly becomes: Readonly<Record<string, unknown>> | null;
}

/** What was changed in an organisation's records, or about one of them, the newest first. */
export async function readTrail(
  context: Context,
  { organisationId }: Caller,
  { limit, after, ...subject }: PageRequest & TrailSubject,
): Promise<Page<TrailRecord>> {
  const [before = null] = partsOfCursor(after, 1) ?? [];
  const asked = { before, most: limit + 1 };
  const rows = await trailBefore(context.store.sql, organisationId, subject, asked);
  return pageOf(rows, limit, recordOf, ({ id }) => [id]);
}

function recordOf(row: TrailRow): TrailRecord {
  const { id, at, author, authorName, kind, recordId, carId, ownerId, visitId } = row;
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
    action: row.action as TrailRecord['action'],
    was: unfolded(row.was),
    becomes: unfolded(row.becomes),
  };
}

function unfolded(json: string | null): TrailRecord['was'] {
  return json === null ? null : (JSON.parse(json) as Record<string, unknown>);
}
