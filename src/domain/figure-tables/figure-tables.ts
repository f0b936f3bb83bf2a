import { ADVICE_FIGURES } from '../advice/advice-figures.ts';
import { FOLD_FLOOR_FIGURES } from '../advice/fold-floor.ts';
import { BENCH_FIGURES } from '../bench/bench-figures.ts';
import { CALL_FIGURES } from '../calls/call-figures.ts';
import { ESTIMATE_FIGURES } from '../estimates/estimate-figures.ts';
import { FAULT_FIGURES } from '../faults/fault-figures.ts';
import { FAULT_WORK_FIGURES } from '../faults/work-figures.ts';
import type { Figure, FigureTable, FigureValues } from '../figures/figure.ts';
import { valuesOf } from '../figures/figure.ts';
import { FOLDING_FIGURES } from '../folding/folding-figures.ts';
import { FRAME_FIGURES } from '../frame/frame-figures.ts';
import { HARDWARE_FIGURES } from '../hardware/hardware-figures.ts';
import { BUSH_FIGURES } from '../hardware/bush.ts';
import { HOLE_FIGURES } from '../hardware/hole.ts';
import { LIFE_FIGURES } from '../life/life-figures.ts';
import { DOSE_RESPONSE_FIGURES } from '../lubrication/corrosion.ts';
import { CARE_DAY_FIGURES } from '../care-day/care-day-figures.ts';
import { DUE_FIGURES } from '../lubrication/due.ts';
import { INTERVAL_FIGURES } from '../lubrication/interval.ts';
import { LOOK_FIGURES } from '../lubrication/look-again.ts';
import { PART_FIGURES } from '../parts/part-figures.ts';
import { PIVOT_FIGURES } from '../pivots/figures.ts';
import { PRACTICE_FIGURES } from '../practice/practice-figures.ts';
import { ROUND_FIGURES } from '../letters/round-figures.ts';
import { RETENTION_FIGURES } from '../privacy/retention-figures.ts';
import { STANDING_FIGURES } from '../standing/standing-figures.ts';

/** Every number of the rules, by the name of its table. A figure is called `table.name`. */
export const FIGURE_TABLES = {
  advice: ADVICE_FIGURES,
  bench: BENCH_FIGURES,
  bush: BUSH_FIGURES,
  calls: CALL_FIGURES,
  careDay: CARE_DAY_FIGURES,
  corrosion: DOSE_RESPONSE_FIGURES,
  due: DUE_FIGURES,
  faults: FAULT_FIGURES,
  estimate: ESTIMATE_FIGURES,
  faultWork: FAULT_WORK_FIGURES,
  foldFloor: FOLD_FLOOR_FIGURES,
  folding: FOLDING_FIGURES,
  frame: FRAME_FIGURES,
  hardware: HARDWARE_FIGURES,
  hole: HOLE_FIGURES,
  interval: INTERVAL_FIGURES,
  life: LIFE_FIGURES,
  look: LOOK_FIGURES,
  parts: PART_FIGURES,
  pivots: PIVOT_FIGURES,
  practice: PRACTICE_FIGURES,
  retention: RETENTION_FIGURES,
  round: ROUND_FIGURES,
  standing: STANDING_FIGURES,
} as const satisfies Readonly<Record<string, FigureTable>>;

export type TableName = keyof typeof FIGURE_TABLES;

/** An organisation's own numbers in place of shop rules, by the full name of the figure. */
export type OwnFigures = Readonly<Record<string, number>>;

const DEFAULTS = new Map<TableName, FigureValues<FigureTable>>(
  Object.entries(FIGURE_TABLES).map(([table, figures]) => [
    table as TableName,
    defaultsOf(figures),
  ]),
);

function defaultsOf(figures: FigureTable): FigureValues<FigureTable> {
  return Object.freeze(valuesOf(figures));
}

/** The values of one table as rules take them, the organisation's own ones in their place. */
export function figuresFor<N extends TableName>(
  table: N,
  own: OwnFigures = {},
): FigureValues<(typeof FIGURE_TABLES)[N]> {
  const mine: Record<string, number> = {};
  const prefix = `${table}.`;
  let isDefault = true;
  for (const [key, value] of Object.entries(own)) {
    if (!key.startsWith(prefix)) continue;
    mine[key.slice(prefix.length)] = value;
    isDefault = false;
  }
  const values = isDefault
    ? DEFAULTS.get(table)
    : valuesOf<FigureTable>(FIGURE_TABLES[table], mine);
  return values as FigureValues<(typeof FIGURE_TABLES)[N]>;
}

const ALL: ReadonlyMap<string, Figure> = new Map(
  Object.entries<FigureTable>(FIGURE_TABLES).flatMap(([table, figures]) =>
    Object.entries(figures).map(([name, figure]) => [`${table}.${name}`, figure]),
  ),
);

/** The figure of a full name, such as `interval.faultFactor`, or undefined. */
export function figureNamed(key: string): Figure | undefined {
  return ALL.get(key);
}

const COUNTED =
  /^(days|working days|weeks offered|months?|readings|washers|findings|failures|visits|pieces|folds|letters)\b/;

/** What is wrong with a value that an organisation wants for a figure, in words; null if nothing. */
export function ownFigureProblem(figure: Figure, value: number): string | null {
  const { mark, min, max, unit } = figure;
  if (mark !== 'shop rule' || min === undefined || max === undefined) {
    return `This figure is "${mark}" and stays as it is. Only shop rules can be changed.`;
  }
  if (!(value >= min && value <= max)) return `Give a number from ${min} to ${max} (${unit}).`;
  if (COUNTED.test(unit) && Number.isInteger(figure.value) && !Number.isInteger(value)) {
    return `Give a whole number from ${min} to ${max} (${unit}).`;
  }
  return null;
}
