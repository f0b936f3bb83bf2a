import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { LookDue } from '../../domain/lubrication/look-again.ts';
import { lookDue } from '../../domain/lubrication/look-again.ts';
import { diaryOf, topsToLookAt } from '../../store/diary/diary-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';

/** A top whose joints want to be looked at again after they were found stiff or repaired. */
export interface LookRecord {
  readonly topId: string;
  readonly carId: string;
  readonly ownerId: string;
  readonly registration: string;
  readonly ownerName: string;
  readonly look: LookDue;
}

/**
 * The tops that are due for a second look by a day and that nothing is booked for within its window,
 * the soonest first. Those whose oiling comes by then are not among them.
 */
export async function listLooks(
  context: Context,
  { organisationId }: Caller,
  { until, limit, after }: PageRequest & { readonly until: Day },
): Promise<Page<LookRecord>> {
  const { sql } = context.store;
  const diary = await diaryOf(sql, organisationId);
  const today = dayIn(diary?.timeZone ?? 'UTC', context.now());
  const figures = figuresFor('look', ownFiguresFrom(diary?.ownRules));
  const longest = figures.afterDays + figures.windowAfterDays + figures.lapseDays;
  const tops = await topsToLookAt(sql, organisationId, addDays(today, -longest - 1));
  const from = partsOfCursor(after, ['day', 'id'])?.join(' ') ?? '';
  const items = tops
    .flatMap((top) => {
      const { topId, carId, ownerId, registration, ownerName, bookedOn, lookAfterOn } = top;
      const look = lookDue({ since: lookAfterOn, oilDueOn: top.dueOn, today }, figures);
      if (look === null || look.windowFrom > until) return [];
      if (bookedOn !== null && bookedOn <= look.windowTo) return [];
      return [{ topId, carId, ownerId, registration, ownerName, look }];
    })
    .filter(({ look, topId }) => `${look.dueOn} ${topId}` > from);
  return pageOf(
    items,
    limit,
    (item) => item,
    ({ look, topId }) => [look.dueOn, topId],
  );
}
