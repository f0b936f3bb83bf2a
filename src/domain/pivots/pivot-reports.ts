import type { Day } from '../calendar/day.ts';
import { valuesOf } from '../figures/figure.ts';
import { PIVOT_FIGURES } from './figures.ts';
import type { PivotFigures } from './figures.ts';
import { sideOf } from './frame-patterns.ts';
import type { PivotKind, Side } from './frame-patterns.ts';
import { pivotReport, pivotVerdict } from './pivot-report.ts';
import type { PivotReport } from './pivot-report.ts';
import { standing } from './series.ts';
import type { PivotRecord, Standing } from './series.ts';
import { worstOf } from './state.ts';
import type { Verdict } from './state.ts';
import { sideWashers } from './washers.ts';
import type { SideWashers } from './washers.ts';
import type { PriorOf } from './wear-pool.ts';

/** All pivots of one frame. */
export interface PivotReports {
  /** The worst of the pivots. */
  readonly verdict: Verdict;
  /** In the order of the records. */
  readonly pivots: readonly PivotReport[];
  readonly sides: Readonly<Record<Side, SideWashers>>;
  /** The last axial gap at each pivot that has one since its repair, as a frame's sway wants it. */
  readonly gaps: readonly {
    readonly pivot: string;
    readonly kind: PivotKind;
    readonly gapMm: number;
  }[];
}

/**
 * Reports on every pivot of a frame, each knowing what washers its side lacks. Throws RangeError on
 * impossible records.
 */
export function pivotReports(
  records: readonly PivotRecord[],
  context: {
    readonly today: Day;
    readonly figures?: PivotFigures | undefined;
    readonly priorOf?: PriorOf | undefined;
  },
): PivotReports {
  const { today, figures = valuesOf(PIVOT_FIGURES) } = context;
  const known = records.map((record) => ({ record, now: standing(record, today) }));
  const sides = sidesOf(known, figures);
  const pivots = records.map((record) =>
    pivotReport(record, {
      today,
      figures,
      priorOf: context.priorOf,
      sideMissing: sides[sideOf(record.code)].missing,
    }),
  );
  const gaps = known.flatMap(({ record: { code, kind }, now }) => {
    const last = now.readings.findLast(({ method }) => method === 'axial');
    return last ? [{ pivot: code, kind, gapMm: last.mm }] : [];
  });
  return { verdict: worstOf(...pivots.map(({ verdict }) => verdict)), pivots, sides, gaps };
}

/** The verdicts of `pivotReports` in the order of the records, at a small part of their cost. */
export function pivotVerdicts(
  records: readonly PivotRecord[],
  context: {
    readonly today: Day;
    readonly figures: PivotFigures;
    readonly priorOf?: PriorOf | undefined;
  },
): Verdict[] {
  const sides = washersOfSides(records, context.today, context.figures);
  return records.map((record) =>
    pivotVerdict(record, { ...context, sideMissing: sides[sideOf(record.code)].missing }),
  );
}

/** What each side of a frame has left of its washers. */
export function washersOfSides(
  records: readonly PivotRecord[],
  today: Day,
  figures: PivotFigures,
): Readonly<Record<Side, SideWashers>> {
  return sidesOf(
    records.map((record) => ({ record, now: standing(record, today) })),
    figures,
  );
}

function sidesOf(
  known: readonly { readonly record: PivotRecord; readonly now: Standing }[],
  figures: PivotFigures,
): Readonly<Record<Side, SideWashers>> {
  return sideWashers(
    known.map(({ record: { code, washersExpected }, now }) => ({
      code,
      washersExpected,
      washersPresent: now.washers.at(-1)?.present ?? null,
    })),
    figures,
  );
}
