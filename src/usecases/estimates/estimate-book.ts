import { dayIn } from '../../domain/calendar/zone.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { daysBetween } from '../../domain/calendar/day.ts';
import type { EstimateHeap } from '../../domain/estimates/estimate.ts';
import { heapOf } from '../../domain/estimates/estimate.ts';
import { estimatesNewestFirst } from '../../store/estimates/estimate-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import type { EstimateRecord } from './estimate-records.ts';
import { recordsOf } from './estimate-records.ts';

/** An estimate in the book of all of them. */
export interface BookedEstimateRecord extends EstimateRecord {
  readonly registration: string;
  readonly ownerName: string;
  readonly heap: EstimateHeap;
  /** How long it has waited, or since it was answered or made; in days of the organisation's zone. */
  readonly ageDays: number;
}

const A_PAGE = 200;
// The largest that both databases keep in a column of whole numbers.
const LARGEST_NUMBER = 2 ** 31 - 1;

/**
 * The newest estimates of the caller's organisation, whatever became of them; those below a number
 * where one is given. `next` is the number to go on from; null at the end.
 */
export async function readEstimateBook(
  context: Context,
  caller: Caller,
  below: number | undefined,
): Promise<{
  readonly items: readonly BookedEstimateRecord[];
  readonly next: number | null;
  readonly today: Day;
}> {
  const { sql } = context.store;
  const { timeZone } = await showOrganisation(context, caller);
  const today = dayIn(timeZone, context.now());
  const asked = { below: below ?? LARGEST_NUMBER, most: A_PAGE + 1 };
  const found = await estimatesNewestFirst(sql, caller.organisationId, asked);
  const rows = found.slice(0, A_PAGE);
  const records = await recordsOf(sql, rows);
  const items = records.map((record, i): BookedEstimateRecord => {
    const { registration = '', ownerName = '' } = rows[i] ?? {};
    const at = record.answeredAt ?? record.sentAt;
    const since = at === null ? record.madeOn : dayIn(timeZone, at);
    const ageDays = Math.max(0, daysBetween(since, today));
    return { ...record, registration, ownerName, heap: heapOf(record), ageDays };
  });
  return { items, next: found.length > A_PAGE ? (rows.at(-1)?.number ?? null) : null, today };
}
