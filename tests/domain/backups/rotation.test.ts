import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { expect, it } from 'vitest';
import { BACKUP_FIGURES, backupsToKeep } from '../../../src/domain/backups/rotation.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';

const instants = fc
  .uniqueArray(fc.integer({ min: 0, max: 1_500 * 24 }), { maxLength: 60 })
  .map((hours) => hours.map((hour) => new Date(Date.UTC(2024, 0, 1, hour)).toISOString()));
const figures = fc.record({
  days: fc.integer({ min: 1, max: 10 }),
  weeks: fc.integer({ min: 0, max: 8 }),
  months: fc.integer({ min: 0, max: 14 }),
});

const PERIODS = {
  days: (at: string) => Temporal.PlainDate.from(at.slice(0, 10)).toString(),
  weeks: (at: string) => {
    const { yearOfWeek, weekOfYear } = Temporal.PlainDate.from(at.slice(0, 10));
    return `${yearOfWeek} ${weekOfYear}`;
  },
  months: (at: string) => Temporal.PlainDate.from(at.slice(0, 10)).toPlainYearMonth().toString(),
};

// The calendar's weeks and months are Temporal's, not ours.
it('keeps the last of each of the newest periods, and nothing else', () => {
  fc.assert(
    fc.property(instants, figures, (made, wanted) => {
      const stay = backupsToKeep(made, wanted);
      const expected = new Set<string>();
      for (const [figure, periodOf] of Object.entries(PERIODS)) {
        const newest = [...new Set(made.map(periodOf))]
          .map(
            (period) =>
              made
                .filter((at) => periodOf(at) === period)
                .toSorted()
                .at(-1) ?? '',
          )
          .toSorted()
          .toReversed();
        for (const at of newest.slice(0, wanted[figure as keyof typeof wanted])) expected.add(at);
      }
      expect(stay).toEqual(expected);
      expect(made.length === 0 || stay.has(made.toSorted().at(-1) ?? '')).toBe(true);
      expect(backupsToKeep([...stay], wanted)).toEqual(stay);
    }),
  );
});

it('leaves, day after day for two years, one for each week and month that is to be kept', () => {
  let kept: string[] = [];
  for (let day = 0; day < 800; day++) {
    const at = new Date(Date.UTC(2024, 0, 1 + day, 2, 30)).toISOString();
    kept = [...backupsToKeep([...kept, at], valuesOf(BACKUP_FIGURES))];
    expect(kept.length).toBeLessThanOrEqual(7 + 5 + 12);
  }
  // The 800th day is 10 March 2026, a Tuesday; the last of each month is that of its last day.
  const days = kept.toSorted().map((at) => at.slice(0, 10));
  expect(days.join(' ')).toBe(
    '2025-04-30 2025-05-31 2025-06-30 2025-07-31 2025-08-31 2025-09-30 2025-10-31 2025-11-30 ' +
      '2025-12-31 2026-01-31 2026-02-15 2026-02-22 2026-02-28 2026-03-01 2026-03-04 2026-03-05 ' +
      '2026-03-06 2026-03-07 2026-03-08 2026-03-09 2026-03-10',
  );
});
