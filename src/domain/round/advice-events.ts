import type { AdviceEvent } from '../advice/advice.ts';
import type { Day } from '../calendar/day.ts';
import { addDays } from '../calendar/day.ts';
import { toInstant, msOf } from '../calendar/instant.ts';
import { dayIn } from '../calendar/zone.ts';
import { foldedClock } from '../folding/clock.ts';
import type { FoldingValues } from '../folding/folding-figures.ts';
import type { CarFacts } from './car-facts.ts';

/** What is on record about a car that can make an advice timely. */
export interface EventSources {
  /** IANA zone of the car. */
  readonly zone: string;
  readonly limitDays: number;
  /** Valid entries only. */
  readonly entries: CarFacts['entries'];
  /** Days of visits at which a pivot was stiff. */
  readonly stiffOn: readonly Day[];
  /** Days of visits at which the seal of the tailgate was found missing. */
  readonly sealMissingOn: readonly Day[];
}

/** Older happenings make no advice timely: longer than any advice stays so after its event. */
export const EVENT_MEMORY_DAYS = 60;

/**
 * The happenings up to `today` that advice may refer to, in the car's days. A top that went down
 * damp was also wet; one raised after its limit was left folded too long, which is worth a word
 * only then, since before it the alarms speak.
 */
export function adviceEvents(
  { zone, limitDays, entries, stiffOn, sealMissingOn }: EventSources,
  today: Day,
  figures: FoldingValues,
): { readonly name: AdviceEvent; readonly on: Day }[] {
  const since = addDays(today, -EVENT_MEMORY_DAYS);
  const events: { name: AdviceEvent; on: Day }[] = [];
  for (const entry of entries) {
    const on = dayIn(zone, entry.at);
    if (on < since) continue;
    if (entry.position === 'raised') {
      const before = toInstant(msOf(entry.at) - 1);
      const { position, stretch } = foldedClock({ zone, limitDays, entries, at: before }, figures);
      if (position === 'folded' && stretch?.state === 'over') {
        events.push({ name: 'folded-over-limit', on });
      }
      continue;
    }
    if (entry.position !== 'folded') continue;
    if (entry.damp === true) events.push({ name: 'folded-damp', on }, { name: 'wet-logged', on });
    if (entry.coverOn === false) events.push({ name: 'cover-not-fitted', on });
  }
  return [
    ...events,
    ...stiffOn.map((on) => ({ name: 'stiff-logged' as const, on })),
    ...sealMissingOn.map((on) => ({ name: 'tailgate-seal-missing' as const, on })),
  ];
}
