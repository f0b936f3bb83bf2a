import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import type { OwnerDeedRow } from '../../store/trail/owner-deed-rows.ts';
import { ownerDeedsSince } from '../../store/trail/owner-deed-rows.ts';
import type { Caller, Context } from '../context/context.ts';

/** What an owner can do by a link that changes the shop's day. */
export type OwnerDeed = 'chose' | 'moved' | 'cancelled' | 'accepted' | 'declined';

export interface OwnerNewsRecord {
  readonly deed: OwnerDeed;
  readonly at: Instant;
  readonly visitId: string;
  readonly carId: string;
  readonly registration: string;
  readonly ownerName: string;
  /** The day that it is about; of a visit that was cancelled, the one that is free again. */
  readonly on: Day | null;
  readonly dropOffAt: Instant | null;
}

/** Over a weekend and its holiday (shop rule). */
export const NEWS_DAYS = 4;
const CHANGES_READ = 2000;

/** What owners did by their links in the last days, the newest first. */
export async function readOwnerNews(
  context: Context,
  { organisationId }: Caller,
): Promise<OwnerNewsRecord[]> {
  const since = addHours(context.now(), -NEWS_DAYS * 24);
  const rows = await ownerDeedsSince(context.store.sql, organisationId, {
    since,
    among: CHANGES_READ,
  });
  return rows.flatMap((row) => {
    const deed = deedOf(row);
    if (deed === null) return [];
    const { at, visitId, carId, registration, ownerName } = row;
    const visit = deed === 'accepted' || deed === 'declined' ? null : row;
    return [
      {
        deed,
        at,
        visitId,
        carId,
        registration,
        ownerName,
        on: visit?.plannedOn ?? null,
        dropOffAt: visit?.dropOffAt ?? null,
      },
    ];
  });
}

/** What a change was, in the terms of the diary; null where it is no news to a shop. */
function deedOf({ kind, action, was, becomes, plannedOn }: OwnerDeedRow): OwnerDeed | null {
  const before = columnsIn(was);
  const after = columnsIn(becomes);
  if (kind === 'finding') {
    const { outcome } = after;
    return outcome === 'accepted' || outcome === 'declined' ? outcome : null;
  }
  if (action === 'recorded') return plannedOn === null ? null : 'chose';
  if (after['state'] === 'cancelled') return 'cancelled';
  if (after['state'] === 'booked' && before['state'] !== undefined) return 'chose';
  return 'plannedOn' in after || 'dropOffAt' in after ? 'moved' : null;
}

function columnsIn(json: string | null): Record<string, unknown> {
  return json === null ? {} : (JSON.parse(json) as Record<string, unknown>);
}
