import type { Day } from '../../../domain/calendar/day.ts';
import { tenth } from '../frame/plot.ts';

const LEFT = 34;
const RIGHT = 352;
const TOP = 12;
const FOOT = 150;
/** Brackets of jams below the weeks; more than three are in the list alone. */
const JAM_ROW = 14;
const JAMS = 3;

interface WeekLoad {
  readonly id: string;
  readonly monday: Day;
  readonly capacityPlaces: number;
  readonly bookedPlaces: number;
  readonly offeredPlaces: number;
}

interface JamShown {
  readonly from: string;
  readonly to: string;
}

interface Box {
  readonly x: string;
  readonly y: string;
  readonly width: string;
  readonly height: string;
}

/** The weeks of the bench as columns, in the units of a field 360 wide. */
export interface BenchPlot {
  readonly height: number;
  readonly room: readonly Box[];
  readonly booked: readonly Box[];
  readonly offered: readonly Box[];
  /** Brackets under the weeks of a jam. */
  readonly jams: readonly { readonly path: string }[];
  readonly weeks: readonly { readonly x: string; readonly word: string }[];
  readonly hours: readonly { readonly y: string; readonly word: string }[];
}

/** Draws what each week holds: its room as a frame, booked work filled, weeks offered hatched on top. */
export function benchPlot(
  weeks: readonly WeekLoad[],
  jams: readonly JamShown[],
  placesAnHour: number,
): BenchPlot {
  const most = Math.max(
    1,
    ...weeks.map(({ capacityPlaces, bookedPlaces, offeredPlaces }) =>
      Math.max(capacityPlaces, bookedPlaces + offeredPlaces),
    ),
  );
  const step = (RIGHT - LEFT) / Math.max(weeks.length, 1);
  const width = tenth(step * 0.72);
  const x = (i: number) => LEFT + i * step + step * 0.14;
  const y = (places: number) => FOOT - ((FOOT - TOP) * places) / most;
  const box = (i: number, from: number, to: number): Box[] =>
    to > from ? [{ x: tenth(x(i)), y: tenth(y(to)), width, height: tenth(y(from) - y(to)) }] : [];
  const placeOf = new Map(weeks.map(({ id }, i) => [id, i]));
  const brackets = jams.slice(0, JAMS).flatMap(({ from, to }, i) => {
    const [first, last] = [placeOf.get(from), placeOf.get(to)];
    if (first === undefined || last === undefined) return [];
    const at = tenth(FOOT + 26 + i * JAM_ROW);
    return [{ path: `M${tenth(x(first))} ${at}v6H${tenth(x(last) + step * 0.72)}v-6` }];
  });
  const hour = Math.max(1, Math.ceil(most / placesAnHour / 4));
  const stride = Math.max(1, Math.ceil(weeks.length / 8));
  return {
    height: FOOT + 26 + Math.max(brackets.length, 0) * JAM_ROW + 4,
    room: weeks.flatMap(({ capacityPlaces }, i) => box(i, 0, capacityPlaces)),
    booked: weeks.flatMap(({ bookedPlaces }, i) => box(i, 0, bookedPlaces)),
    offered: weeks.flatMap(({ bookedPlaces, offeredPlaces }, i) =>
      box(i, bookedPlaces, bookedPlaces + offeredPlaces),
    ),
    jams: brackets,
    weeks: weeks.flatMap(({ id }, i) =>
      i % stride === 0
        ? [{ x: tenth(x(i) + step * 0.36), word: String(Number(id.slice(-2))) }]
        : [],
    ),
    hours: Array.from({ length: Math.floor(most / placesAnHour / hour) + 1 }, (_, i) => ({
      y: tenth(y(i * hour * placesAnHour)),
      word: String(i * hour),
    })),
  };
}
