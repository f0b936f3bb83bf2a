import { dayIn } from '../../domain/calendar/zone.ts';
import { keepAhead, keptOfOrganisation } from '../../store/cars/kept-rows.ts';
import { organisationIds } from '../../store/organisations/organisation-rows.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { showDiary } from '../bench/diary-weeks.ts';
import type { Caller, Context } from '../context/context.ts';
import { programCaller } from '../context/context.ts';
import { outageOf } from '../context/outage.ts';
import type { Kept } from '../kept/keep-cars.ts';
import { bringUpToDate, mayWait } from '../kept/keep-cars.ts';
import type { PartRecord } from '../stock/read-parts.ts';
import { readParts } from '../stock/read-parts.ts';

/** What the coming weeks ask for, reckoned over all visits to come. */
export interface AheadRecord {
  readonly at: Instant;
  /** Parts that should be ordered now. */
  readonly parts: Pick<PartRecord, 'part' | 'label' | 'piece' | 'order' | 'inHand' | 'because'>[];
  /** Weeks in which more falls due than there is room for. */
  readonly says: string[];
}

const WEEKS_AHEAD = 4;

/**
 * What the coming weeks ask for, as it is kept of today; reckoned anew where stock, opening days or more
 * cars changed than `mayWait` allows. With `exact` any car that changed is one too many.
 */
export async function readAhead(
  context: Context,
  caller: Caller,
  { calendar, learned }: Kept,
  { exact = false }: { readonly exact?: boolean } = {},
): Promise<AheadRecord> {
  const { store } = context;
  const { organisationId, now, timeZone, today } = calendar;
  const kept = await keptOfOrganisation(store.sql, organisationId);
  if (kept !== null && kept.aheadAt !== '' && kept.aheadAt <= now) {
    const isOfToday = dayIn(timeZone, kept.aheadAt) === today;
    const isNear =
      kept.aheadChanges === 0 ||
      (!exact && (await mayWait(store.sql, organisationId, kept.aheadChanges)));
    const ahead = JSON.parse(kept.ahead) as AheadRecord & { learnedNo: number };
    if (isOfToday && isNear && ahead.learnedNo === kept.learnedNo) return ahead;
  }
  const { items } = await readParts(context, caller, { lives: learned.lives });
  const { says } = await showDiary(context, caller, { weeks: WEEKS_AHEAD });
  const parts = items
    .filter(({ order }) => order > 0)
    .map(({ part, label, piece, order, inHand, because }) => ({
      part,
      label,
      piece,
      order,
      inHand,
      because,
    }));
  const ahead: AheadRecord = { at: now, parts, says };
  const text = JSON.stringify({ ...ahead, learnedNo: kept?.learnedNo ?? 0 });
  await store
    .writeSql((sql) => keepAhead(sql, organisationId, { ahead: text, aheadAt: now }))
    .catch((fault: unknown) => {
      if (outageOf(fault) === null) throw fault;
    });
  return ahead;
}

/**
 * Reckons beforehand what the day's pages of all organisations show, so that whoever opens one does not
 * wait for it. What is kept would be made good by the next reader too, so whoever ends the program need
 * not wait for it either: `signal`.
 */
export async function keepDays(
  context: Context,
  { signal }: { readonly signal?: AbortSignal } = {},
): Promise<void> {
  for (const organisationId of await organisationIds(context.store.sql)) {
    const kept = await bringUpToDate(
      context,
      organisationId,
      signal === undefined ? {} : { signal },
    );
    if (signal?.aborted === true) return;
    const caller = programCaller(organisationId, 'day');
    await readAhead(context, caller, kept, { exact: true });
  }
}
