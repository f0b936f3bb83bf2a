import { daysBetween, yearOf } from '../../../domain/calendar/day.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import { type Mark, scale, tenth } from '../frame/plot.ts';

const LEFT = 40;
const RIGHT = 352;
const TOP = 12;
const FOOT = 176;
const YEAR_DAYS = 365.2425;
/** Years drawn beyond the last reading at most; a later day is written beside its limit. */
const AHEAD = 8;

interface MetBetween {
  readonly earliest: Day;
  readonly likely: Day;
  readonly latest: Day | null;
}

/** The readings of a joint by one method, with where they lead. */
export interface JointReadings {
  /** Oldest first. */
  readonly readings: readonly { readonly doneOn: Day; readonly mm: number }[];
  readonly line: { readonly slope: number; readonly intercept: number } | null;
  readonly limits: { readonly planOver: number | null; readonly actOver: number };
  readonly planOn: MetBetween | null;
  readonly actOn: MetBetween | null;
}

/** A joint's play by time, in the units of a field of 360 × 200. */
export interface JointPlot {
  readonly points: readonly { readonly x: string; readonly y: string }[];
  /** Sen's line through the readings; empty where there is none. */
  readonly line: string;
  /** A line for each limit, with when it is met: the bar is the 90 % interval, the tick its middle. */
  readonly limits: readonly {
    readonly name: 'plan' | 'act';
    readonly y: string;
    readonly word: string;
    readonly bar: string;
    readonly tick: string;
    /** The bar goes on beyond the drawing. */
    readonly open: boolean;
  }[];
  readonly years: readonly Mark[];
  readonly heights: readonly Mark[];
}

/** Draws the readings, Sen's line as far as they go, and the limits with their intervals. */
export function jointPlot({ readings, line, limits, planOn, actOn }: JointReadings): JointPlot {
  const start = readings[0]?.doneOn ?? '2000-01-01';
  const lastOn = readings.at(-1)?.doneOn ?? start;
  const days = (day: Day) => daysBetween(start, day);
  const last = days(lastOn);
  const ends = [planOn, actOn].flatMap((on) =>
    on === null ? [] : [days(on.likely) * 1.1, ...(on.latest === null ? [] : [days(on.latest)])],
  );
  const to = Math.min(Math.max(last, YEAR_DAYS, ...ends), last + AHEAD * YEAR_DAYS);
  const most = Math.max(limits.actOver, ...readings.map(({ mm }) => mm)) * 1.12;
  const x = scale(0, to, LEFT, RIGHT);
  const y = scale(0, most, FOOT, TOP);
  const rows = [
    { name: 'plan' as const, over: limits.planOver, on: planOn },
    { name: 'act' as const, over: limits.actOver, on: actOn },
  ];
  const firstYear = yearOf(start) + 1;
  const years = Array.from({ length: 80 }, (_, i) => firstYear + i).filter(
    (year) => days(`${year}-01-01`) <= to,
  );
  const stride = Math.max(1, Math.ceil(years.length / 8));
  return {
    points: readings.map(({ doneOn, mm }) => ({ x: tenth(x(days(doneOn))), y: tenth(y(mm)) })),
    line:
      line === null
        ? ''
        : `M${tenth(x(0))} ${tenth(y(line.intercept))}L${tenth(x(last))} ${tenth(y(line.intercept + (line.slope * last) / YEAR_DAYS))}`,
    limits: rows.flatMap(({ name, over, on }) => {
      if (over === null) return [];
      const at = tenth(y(over));
      const open = on !== null && (on.latest === null || days(on.latest) > to);
      return [
        {
          name,
          y: at,
          word: `${name} over ${over} mm`,
          bar:
            on === null
              ? ''
              : `M${tenth(x(days(on.earliest)))} ${at}H${tenth(on.latest === null ? RIGHT : x(days(on.latest)))}`,
          tick: on === null || days(on.likely) > to ? '' : tenth(x(days(on.likely))),
          open,
        },
      ];
    }),
    years: years
      .filter((_, i) => i % stride === 0)
      .map((year) => ({ at: tenth(x(days(`${year}-01-01`))), word: String(year) })),
    heights: [0, 0.5, 1, 1.5, 2, 3, 4]
      .filter((mm) => mm <= most)
      .map((mm) => ({ at: tenth(y(mm)), word: mm.toFixed(1) })),
  };
}
