import { addDays } from '../../../domain/calendar/day.ts';
import type { DiaryRecord } from '../../../usecases/bench/diary-weeks.ts';
import type { Voice } from '../../../views/words/voice.ts';
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

/** The load of the bench in the coming weeks: a drawing, the jams in words, and the table behind it. */
export function benchLoadSheet(
  diary: DiaryRecord,
  records: boolean,
  voice: Voice,
): [Frame, BenchLoadModel] {
  const { say, tell, locale } = voice;
  const { weeks, jams, placeMinutes } = diary;
  const says = diary.says.map(tell);
  const hours = (places: number) => locale.number(Math.round((places * placeMinutes) / 6) / 10);
  const full = says.length === 0 ? say('load.full') : says.join('. ');
  return [
    { lang: voice.language, title: say('load.title'), nav: { here: 'today' } },
    {
      plot: benchPlot(weeks, jams, 60 / placeMinutes),
      label: say('load.plot', { full }),
      says,
      rows: weeks.map((week) => ({
        week: say('load.week', { year: week.id.slice(0, 4), week: week.id.slice(-2) }),
        from: voice.day(week.monday),
        room: hours(week.capacityPlaces),
        booked: hours(week.bookedPlaces),
        offered: hours(week.offeredPlaces),
        visits: String(week.visits.length),
        jam: jams.some(({ from, to }) => from <= week.id && week.id <= to)
          ? say('load.yes')
          : say('load.no'),
      })),
      because: diary.because.map(tell),
      records,
      weeks: weeks.slice(0, WEEKS_TOLD).map((week) => weekTold(week, records, voice)),
    },
  ];
}

function weekTold(
  week: DiaryRecord['weeks'][number],
  records: boolean,
  { say, day, locale }: Voice,
): BenchLoadModel['weeks'][number] {
  const { id, monday, openDays, capacityPlaces, bookedPlaces, offeredPlaces } = week;
  const places = { booked: String(bookedPlaces), all: String(capacityPlaces) };
  return {
    heading: say('week.label', {
      week: String(Number(id.slice(-2))),
      days: locale.span(monday, addDays(monday, 6)),
    }),
    room:
      openDays.length === 0
        ? say('load.closed')
        : offeredPlaces > 0
          ? say('load.room.offered', { ...places, offered: String(offeredPlaces) })
          : say('load.room', places),
    visits: week.visits.map(({ visitId, topId, registration, ownerName, kind, on, minutes }) => ({
      href: records ? `/visits/${visitId}` : `/tops/${topId}`,
      words: say('load.visit', {
        registration,
        owner: ownerName,
        kind: say(`visit-kind.${kind}`),
        minutes: String(minutes),
      }),
      day: day(on),
    })),
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly bench: BenchLoadModel;
  }
}
