import type { Day } from '../calendar/day.ts';
import { isoWeekOf } from '../calendar/day.ts';
import type { Instant } from '../calendar/instant.ts';
import type { FigureTable, FigureValues } from '../figures/figure.ts';

const GENERATIONS = 'son, father, grandfather: backups in generations are common practice';
const rule = (value: number, unit: string, min: number, max: number) =>
  ({ value, unit, mark: 'shop rule', source: GENERATIONS, min, max }) as const;

/** How many backups stay, and how old the newest may be. */
export const BACKUP_FIGURES = {
  days: rule(7, 'days of which the last backup is kept', 1, 366),
  weeks: rule(5, 'weeks of which the last backup is kept', 0, 520),
  months: rule(12, 'months of which the last backup is kept', 0, 120),
} as const satisfies FigureTable;

export type BackupFigures = FigureValues<typeof BACKUP_FIGURES>;

/**
 * Which backups stay: the last of each of the newest days, ISO weeks and months (UTC) in which one was
 * made. Periods without a backup do not count, so a machine that stood switched off loses none by
 * waking up. The newest always stays.
 */
export function backupsToKeep(
  made: readonly Instant[],
  figures: BackupFigures,
): ReadonlySet<Instant> {
  const newestFirst = made.toSorted().toReversed();
  return new Set(
    PERIODS.flatMap(([figure, periodOf]) => {
      const last = new Map<string, Instant>();
      for (const at of newestFirst) {
        const period = periodOf(at.slice(0, 10));
        if (!last.has(period)) last.set(period, at);
      }
      return [...last.values()].slice(0, figures[figure]);
    }),
  );
}

const PERIODS: readonly (readonly [keyof BackupFigures, (day: Day) => string])[] = [
  ['days', (day) => day],
  ['weeks', (day) => isoWeekOf(day).id],
  ['months', (day) => day.slice(0, 7)],
];
