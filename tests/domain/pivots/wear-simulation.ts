import { addDays } from '../../../src/domain/calendar/day.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { PIVOT_FIGURES } from '../../../src/domain/pivots/figures.ts';
import { pivotReport } from '../../../src/domain/pivots/pivot-report.ts';
import { wearPools } from '../../../src/domain/pivots/wear-pool.ts';
import type { Method } from '../../../src/domain/pivots/series.ts';
import { played, recordOf } from './pivot-record.ts';

/** Numbers that are the same on every run (sfc32). */
function chanceFrom(seed: number) {
  let [a, b, c, d] = [seed | 0, (seed * 7919) | 0, 0x2545f491 ^ seed, 1];
  const uniform = () => {
    const t = (((a + b) | 0) + d) | 0;
    d = (d + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + t) | 0;
    return (t >>> 0) / 4294967296;
  };
  for (let i = 0; i < 20; i += 1) uniform();
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

type Chance = ReturnType<typeof chanceFrom>;

/** How joints wear in truth, whatever the rule believes of it. */
export interface WearWorld {
  /** The rate of one joint in mm a year, given the chances and what the pattern has drawn. */
  readonly pattern: (chance: Chance) => () => number;
  /** Reading error on cars of a pattern, as a share of what the method is said to repeat to. */
  readonly errorShare?: (chance: Chance) => number;
}

/** Rates that are lognormal about a middle, with a spread on the log scale. */
export function lognormal(middle: number, spread: number): WearWorld['pattern'] {
  return ({ normal }) => {
    return () => middle * Math.exp(spread * normal());
  };
}

export interface Coverage {
  readonly printed: number;
  readonly inside: number;
  readonly widths: number[];
}

const FIGURES = valuesOf(PIVOT_FIGURES);
const START = '2000-01-01';
const YEAR = 365.2425;

/**
 * Draws joints, lets them be read at `n` yearly visits with six weeks' jitter, rounded to hundredths,
 * and counts how often the true day lies in the interval that is printed. Selection is the rule's own:
 * whatever prints no day is not counted. An interval that begins with the day of the report says
 * "it may have met it already", so a limit that was met unseen before it is inside; one without an end
 * holds whatever comes after its beginning. The report is asked for `daysLater` than the last reading.
 */
export function simulate(given: {
  readonly method: Method;
  readonly n: number;
  readonly cars: number;
  readonly world: WearWorld;
  readonly seed: number;
  /** Intervals to plan that are counted, or as many as come with three times as many to act. */
  readonly wanted: number;
  readonly daysLater?: number;
  /** Whether the width of each interval is set against that of the joint judged without other cars. */
  readonly weighed?: boolean;
}): { readonly plan: Coverage; readonly act: Coverage; readonly alone: number[] } {
  const { method, n, cars, world, seed, wanted, daysLater = 0, weighed = false } = given;
  const chance = chanceFrom(seed);
  const { uniform, normal } = chance;
  const repeats = method === 'axial' ? FIGURES.axialRepeatability : FIGURES.radialRepeatability;
  const drawn = (rate: number, visits: number, error: number) => {
    const start = 0.03 + 0.15 * uniform();
    const readings = Array.from({ length: visits }, (_, i) => {
      const day = Math.round((i + 0.12 + 0.24 * (uniform() - 0.5)) * YEAR);
      const mm = start + (rate * day) / YEAR + error * normal();
      return [addDays(START, day), Math.max(0, Math.round(mm * 100) / 100)] as const;
    });
    return {
      record: recordOf({ kind: 'link', readings: played(method, ...readings) }),
      today: addDays(readings.at(-1)?.[0] ?? START, daysLater),
      meetsOn: (limit: number) =>
        addDays(START, Math.min(((limit - start) / rate) * YEAR, 200 * YEAR)),
    };
  };
  const plan: Coverage = { printed: 0, inside: 0, widths: [] };
  const act: Coverage = { printed: 0, inside: 0, widths: [] };
  const alone: number[] = [];
  const counted = { plan: { ...plan }, act: { ...act } };
  const isEnough = () =>
    counted.plan.printed >= wanted || counted.act.printed >= Math.max(3 * wanted, 300);
  while (!isEnough()) {
    const rate = world.pattern(chance);
    const error = repeats * (world.errorShare?.(chance) ?? 1);
    const pool = Array.from({ length: cars }, (_, i) => ({
      carId: `${i}`,
      record: drawn(rate(), 2 + Math.floor(5 * uniform()), error).record,
    }));
    const priorOf = wearPools(pool, '2099-01-01', FIGURES)('own');
    for (let k = 0; k < (cars > 0 ? 6 : 1); k += 1) {
      const { record, today, meetsOn } = drawn(rate(), n, error);
      const context = { today, figures: FIGURES };
      const report = pivotReport(record, { ...context, priorOf });
      for (const [name, limit] of [
        ['plan', FIGURES.axialPlanOver],
        ['act', FIGURES.axialActOver],
      ] as const) {
        const on = name === 'plan' ? report.planOn : report.actOn;
        if (on === null) continue;
        const truth = meetsOn(limit);
        const from = on.earliest <= today ? '' : on.earliest;
        counted[name].printed += 1;
        if (truth >= from && truth <= (on.latest ?? '9999')) counted[name].inside += 1;
        counted[name].widths.push(yearsOf(on));
      }
      if (weighed && report.actOn !== null) {
        const own = pivotReport(record, context).actOn;
        if (own !== null) alone.push(yearsOf(report.actOn) / yearsOf(own));
      }
    }
  }
  return { ...counted, alone };
}

/** The width of an interval; one without an end goes as far as the horizon. */
function yearsOf({ earliest, latest }: { earliest: string; latest: string | null }): number {
  const to = latest ?? addDays(earliest, Math.round(30 * YEAR));
  return Math.max((Date.parse(to) - Date.parse(earliest)) / 86_400_000 / YEAR, 1 / YEAR);
}
