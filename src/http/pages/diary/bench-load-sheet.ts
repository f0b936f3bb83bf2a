import { addDays } from '../../../domain/calendar/day.ts';
import type { DiaryRecord } from '../../../usecases/bench/diary-weeks.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { Frame } from '../frame/frame.ts';
import type { BenchPlot } from './bench-plot.ts';
import { benchPlot } from './bench-plot.ts';

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
  /** Whether whoever looks may record something. */
  readonly records: boolean;
  /** The first weeks with their visits. */
  readonly weeks: readonly {
    readonly heading: string;
    readonly room: string;
    readonly visits: readonly {
      readonly href: string;
      readonly words: string;
      readonly day: string;
    }[];
  }[];
}

const WEEKS_TOLD = 4;
const EN = localeOf('en-GB');

/** The load of the bench in the coming weeks: a drawing, the jams in words, and the table behind it. */
export function benchLoadSheet(diary: DiaryRecord, records: boolean): [Frame, BenchLoadModel] {
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
      records,
      weeks: weeks.slice(0, WEEKS_TOLD).map((week) => weekTold(week, records)),
    },
  ];
}

function weekTold(
  week: DiaryRecord['weeks'][number],
  records: boolean,
): BenchLoadModel['weeks'][number] {
  const { id, monday, openDays, capacityPlaces, bookedPlaces, offeredPlaces } = week;
  const offered = offeredPlaces > 0 ? `, ${offeredPlaces} more offered` : '';
  return {
    heading: `Week ${Number(id.slice(-2))}, ${EN.span(monday, addDays(monday, 6))}`,
    room:
      openDays.length === 0
        ? 'Closed.'
        : `${bookedPlaces} of ${capacityPlaces} half hours booked${offered}.`,
    visits: week.visits.map(({ visitId, topId, registration, ownerName, kind, on, minutes }) => ({
      href: records ? `/visits/${visitId}` : `/tops/${topId}`,
      words: `${registration}, ${ownerName}: ${kind}, ${minutes} minutes`,
      day: EN.day(on),
    })),
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly bench: BenchLoadModel;
  }
}
