import { msOf } from '../../../domain/calendar/instant.ts';
import type { CarPageRecord } from '../../../usecases/day/car-page.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { type YearPlot, yearPlot } from './year-plot.ts';

/** The last year of a top as a drawing, with the table behind it. */
export interface YearModel {
  readonly plot: YearPlot;
  readonly label: string;
  readonly rows: readonly {
    readonly from: string;
    readonly to: string;
    readonly lasted: string;
    readonly what: string;
  }[];
}

const HOUR = 3_600_000;

/** The year of a top; null where nothing is known of it. */
export function yearOfTop(
  { spells, car, now, folded }: CarPageRecord,
  voice: Voice,
): YearModel | null {
  if (spells.length === 0) return null;
  const { say, locale } = voice;
  const { timeZone } = car;
  const down = spells.filter(({ position }) => position !== 'raised').toReversed();
  return {
    plot: yearPlot(spells, timeZone, now, locale.shortMonth),
    label: say('car.year.label', { hours: locale.number(Math.round(folded.hours)) }),
    rows: down.map(({ position, from, to }) => ({
      from: locale.instant(from, timeZone),
      to: to === now ? say('car.year.now') : locale.instant(to, timeZone),
      lasted: lastedInWords(msOf(to) - msOf(from), voice),
      what: say(position === 'folded' ? 'car.year.folded' : 'car.year.hard-top'),
    })),
  };
}

function lastedInWords(ms: number, { say, count, locale }: Voice): string {
  const hours = Math.round(ms / HOUR);
  return hours < 48
    ? say('car.year.hours', { hours: locale.number(hours) })
    : count('car.lasted.days', Math.round(hours / 24));
}
