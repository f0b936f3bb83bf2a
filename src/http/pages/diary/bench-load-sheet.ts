import type { Day } from '../../../domain/calendar/day.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { Frame } from '../frame/frame.ts';
import type { BenchPlot } from './bench-plot.ts';
import { benchPlot } from './bench-plot.ts';

export interface BenchFacts {
  readonly placeMinutes: number;
  readonly weeks: readonly {
    readonly id: string;
    readonly monday: Day;
    readonly capacityPlaces: number;
    readonly bookedPlaces: number;
    readonly offeredPlaces: number;
    readonly visits: readonly unknown[];
  }[];
  readonly jams: readonly { readonly from: string; readonly to: string; readonly words: string }[];
  readonly says: readonly string[];
  readonly because: readonly string[];
}

export interface BenchLoadModel {
  readonly plot: BenchPlot;
  readonly label: string;
  readonly says: readonly string[];
  readonly rows: readonly {
    readonly week: string;
    readonly from: string;
    readonly room: string;
    readonly booked: string;
    readonly offered: string;
    readonly visits: string;
    readonly jam: string;
  }[];
  readonly because: readonly string[];
}

const EN = localeOf('en-GB');

/** The load of the bench in the coming weeks: a drawing, the jams in words, and the table behind it. */
export function benchLoadSheet(diary: BenchFacts): [Frame, BenchLoadModel] {
  const { weeks, jams, says, because, placeMinutes } = diary;
  const hours = (places: number) => EN.number(Math.round((places * placeMinutes) / 6) / 10);
  const full = says.length === 0 ? 'Everything that falls due has room.' : says.join('. ');
  return [
    { lang: 'en', title: 'The load of the bench', nav: { here: 'today' } },
    {
      plot: benchPlot(weeks, jams, 60 / placeMinutes),
      label: `Hours of the bench by week: its room, what is booked and what is offered. ${full}`,
      says,
      rows: weeks.map((week) => ({
        week: week.id.replace('-W', ', week '),
        from: EN.day(week.monday),
        room: hours(week.capacityPlaces),
        booked: hours(week.bookedPlaces),
        offered: hours(week.offeredPlaces),
        visits: String(week.visits.length),
        jam: jams.some(({ from, to }) => from <= week.id && week.id <= to) ? 'yes' : 'no',
      })),
      because,
    },
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly bench: BenchLoadModel;
  }
}
