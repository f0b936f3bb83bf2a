import type { Caller, Context } from '../context/context.ts';
import type { FindingRecord } from '../own/visit-records.ts';
import { listVisits } from '../visits/read-visits.ts';

const VISITS_READ = 200;

/**
 * What was found on a top and declined, to be told again on the next visit, the latest first: as long as
 * no later visit found the same and somebody agreed to it or mended it.
 */
export async function declinedWork(
  context: Context,
  caller: Caller,
  topId: string,
): Promise<FindingRecord[]> {
  const { items } = await listVisits(context, caller, { topId, limit: VISITS_READ });
  const found = items
    .toSorted((a, b) => ((a.doneOn ?? '') < (b.doneOn ?? '') ? 1 : -1))
    .flatMap(({ findings }) => findings);
  const latest = new Map<string, FindingRecord>();
  for (const finding of found) {
    const matter = `${finding.fault ?? finding.text} ${finding.pivot ?? ''}`;
    if (!latest.has(matter)) latest.set(matter, finding);
  }
  return [...latest.values()].filter(({ outcome }) => outcome === 'declined');
}
