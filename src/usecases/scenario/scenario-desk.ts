import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn, instantAt } from '../../domain/calendar/zone.ts';
import type { DeskClock, DeskSeed } from './scenario-desk-seeds.ts';
import type { EstimateHappening } from './scenario-estimates.ts';
import { estimateStory } from './scenario-estimates.ts';
import type { PhotoHappening } from './scenario-photo.ts';
import { photoStory } from './scenario-photo.ts';
import type { SaleHappening } from './scenario-sale.ts';
import { saleStory } from './scenario-sale.ts';
import type { StockHappening } from './scenario-stock.ts';
import { stockStory } from './scenario-stock.ts';

export type DeskHappening = EstimateHappening | PhotoHappening | SaleHappening | StockHappening;

/** What happens at the desk, each story in a file of its own. */
export function deskStory(desk: DeskSeed, timeZone: string, now: Instant): DeskHappening[] {
  const today = dayIn(timeZone, now);
  const clock: DeskClock = (daysAgo, time) => {
    const at = instantAt(timeZone, addDays(today, -daysAgo), time);
    return at < now ? at : now;
  };
  return [
    ...stockStory(desk, clock),
    ...estimateStory(desk, clock),
    ...photoStory(desk, clock),
    ...saleStory(desk, clock),
  ];
}
