import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays, daysBetween } from '../../../src/domain/calendar/day.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { PIVOT_FIGURES } from '../../../src/domain/pivots/figures.ts';
import { pivotReport } from '../../../src/domain/pivots/pivot-report.ts';
import { wearPools } from '../../../src/domain/pivots/wear-pool.ts';
import { isRefused } from '../../../src/domain/pivots/trend.ts';
import { played, recordOf } from './pivot-record.ts';

function reportOn(readings: ReturnType<typeof played>, today: string) {
  return pivotReport(recordOf({ readings }), { today });
}

/** 0.20, 0.31, 0.40 mm by dial gauge, one year apart. */
const THREE = played('radial', ['2023-04-20', 0.2], ['2024-04-20', 0.31], ['2025-04-20', 0.4]);

/** Years after 20 April 2024. */
function years(day: string | null | undefined): number {
  return daysBetween('2024-04-20', day ?? '') / 365.2425;
}

describe('projection: the worked example of the trade', () => {
  // Slope 0.10 mm a year; 0.5 mm about one year on; spread 0.1 mm / 0.10 mm a year = one year
  // either way: about spring 2026, could be now (from memory: arithmetic).
  const report = reportOn(THREE, '2025-04-20');

  it('has a slope of a tenth of a millimetre a year', () => {
    const line = report.trend;
    if (line === null || isRefused(line)) throw new Error('no line');
    expect(line.slope).toBeCloseTo(0.1, 3);
    expect(line.low).toBeCloseTo(0.09, 3);
    expect(line.high).toBeCloseTo(0.11, 3);
    expect(line.p).toBeCloseTo(1 / 3, 12);
  });

  it('meets 0.5 mm within an interval that holds the day of the plain sum', () => {
    // By hand: 2024-04-20 + (0.5 - 0.31) / 0.09993 years = 694 days, one year either way.
    const plain = addDays('2024-04-20', 694);
    const { earliest = '', likely = '', latest } = report.planOn ?? {};
    expect(earliest < plain && plain < (latest ?? '9999')).toBe(true);
    // "Could be now" (trade's worked example): a reading of 0.40 mm may err by the 0.1 that is left.
    expect(earliest).toBe('2025-04-20');
    expect(Math.abs(daysBetween(plain, likely))).toBeLessThan(365.5);
  });

  it('meets 1.0 mm after 0.5 mm, and less surely', () => {
    const { planOn, actOn } = report;
    if (planOn === null || actOn === null) throw new Error('no days');
    expect(actOn.likely > planOn.likely).toBe(true);
    expect(actOn.earliest > planOn.earliest).toBe(true);
    const width = ({ earliest, latest }: typeof planOn) =>
      latest === null ? Infinity : daysBetween(earliest, latest);
    expect(width(actOn)).toBeGreaterThan(width(planOn));
    expect(years(actOn.earliest)).toBeLessThan(0.69 / 0.09993);
    expect(years(actOn.latest ?? '2999-01-01')).toBeGreaterThan(0.69 / 0.09993);
  });

  it('says it in a sentence', () => {
    expect(report.verdict).toBe('watch');
    // The trade's worked example: it could be now, so measure again in 6 months.
    expect(report.measureAgainMonths).toBe(6);
    expect(report.measureAgainOn).toBe('2025-10-20');
    expect(report.sentence).toMatch(
      /^left main: 0.20, 0.31, 0.40 mm radial in two years; reaches 0.5 mm about \w+ 2026, though it may have met it already, or not until \w+ \d{4} \(from 3 readings here and the shop rule for wear\): measure again in 6 months, by 20 October 2025$/,
    );
    expect(report.because).toContain('so few radial readings do not rule out chance (p = 0.33)');
  });
});

describe('projection: when there is none', () => {
  it.each([
    ['one reading', THREE.slice(0, 1), '1 more is missing'],
    [
      'a rise below twice what the feeler repeats to',
      played('axial', ['2023-04-20', 0.2], ['2024-04-20', 0.25], ['2025-04-20', 0.29]),
      'not told from reading error below 0.10 mm',
    ],
    [
      'a rise below twice what the dial repeats to',
      played('radial', ['2023-04-20', 0.2], ['2024-04-20', 0.3], ['2025-04-20', 0.39]),
      'not told from reading error below 0.20 mm',
    ],
    [
      'no rise',
      played('axial', ['2023-04-20', 0.4], ['2024-04-20', 0.3], ['2025-04-20', 0.2]),
      'no rise',
    ],
    [
      'a rise at the ends alone',
      played(
        'axial',
        ['2021-04-20', 0.1],
        ['2022-04-20', 0.4],
        ['2023-04-20', 0.3],
        ['2024-04-20', 0.2],
        ['2025-04-20', 0.21],
      ),
      'do not rise',
    ],
    [
      'one day',
      played('axial', ['2025-04-20', 0.1], ['2025-04-20', 0.2], ['2025-04-20', 0.3]),
      'same time',
    ],
    [
      'two readings by two methods',
      [...THREE.slice(0, 1), ...played('axial', ['2025-04-20', 0.4])],
      '1 more is missing',
    ],
  ])('names no day from %s', (_, readings, reason) => {
    const report = reportOn(readings, '2025-04-20');
    expect(report.planOn).toBeNull();
    expect(report.actOn).toBeNull();
    expect(report.series.map(({ missing }) => missing).join()).toContain(reason);
    expect(report.sentence).toContain('no day named');
  });

  it('projects once the rise reaches the floor', () => {
    const readings = played(
      'axial',
      ['2023-04-20', 0.2],
      ['2024-04-20', 0.25],
      ['2025-04-20', 0.3],
    );
    expect(reportOn(readings, '2025-04-20').planOn).not.toBeNull();
  });

  it('leaves the end open where it lies beyond the horizon', () => {
    const readings = played(
      'axial',
      ['2020-04-20', 0.1],
      ['2021-04-20', 0.13],
      ['2022-04-20', 0.15],
      ['2023-04-20', 0.16],
      ['2024-04-20', 0.2],
    );
    const figures = { ...valuesOf(PIVOT_FIGURES), horizonYears: 18 };
    const report = pivotReport(recordOf({ readings }), { today: '2024-05-20', figures });
    expect(report.planOn).not.toBeNull();
    expect(report.planOn?.latest).toBeNull();
    expect(report.sentence).toContain('no end known');
    expect(report.sentence).not.toMatch(/\bnow\b/);
  });

  it('leaves nothing out before the day of asking once the limit may be met by then', () => {
    const readings = played('axial', ['2023-04-20', 0.1], ['2024-04-20', 0.2], ['2025-04-20', 0.3]);
    const on = (today: string) => reportOn(readings, today).planOn;
    const [read, asked] = [on('2025-04-20'), on('2026-10-20')];
    expect(read?.earliest).not.toBe('2025-04-20');
    expect(asked?.earliest).toBe('2026-10-20');
    // A twentieth lies after the one, a tenth after the other.
    expect((asked?.latest ?? '9999') < (read?.latest ?? '')).toBe(true);
  });

  it('names no day beyond the horizon', () => {
    const readings = played(
      'axial',
      ['1990-01-01', 0.1],
      ['2005-01-01', 0.15],
      ['2020-01-01', 0.2],
    );
    const report = reportOn(readings, '2020-01-01');
    expect(report.actOn).toBeNull();
    expect(report.sentence).toContain('too far off');
  });

  it('has passed what it has passed', () => {
    const report = reportOn([...THREE, ...played('radial', ['2026-04-20', 0.6])], '2026-04-20');
    expect(report.verdict).toBe('plan');
    expect(report.planOn).toBeNull();
    expect(report.actOn).not.toBeNull();
    expect(report.sentence).toContain('over 0.5 mm, reaches 1 mm about');
    const worn = reportOn([...THREE, ...played('radial', ['2026-04-20', 1.6])], '2026-04-20');
    expect([worn.planOn, worn.actOn, worn.measureAgainMonths]).toEqual([null, null, null]);
  });

  it('asks for a reading at once where the line has passed the limit unseen', () => {
    const report = reportOn(
      played('axial', ['2023-04-20', 0.05], ['2024-04-20', 0.11], ['2025-04-20', 0.15]),
      '2034-01-01',
    );
    expect(report.verdict).toBe('watch');
    expect(report.planOn?.likely).toBe('2034-01-01');
    expect(report.measureAgainMonths).toBe(0);
    expect(report.sentence).toContain('measure now');
  });
});

describe('projection: what must hold for any readings', () => {
  const mm = fc.integer({ min: 0, max: 100 }).map((hundredths) => hundredths / 100);
  const day = fc.integer({ min: 0, max: 3000 }).map((n) => addDays('2016-01-01', n));
  const rows = fc.array(fc.tuple(day, mm), { minLength: 0, maxLength: 10 });
  const today = '2024-06-01';

  it('keeps earliest, likely and latest in order and not before today', () => {
    fc.assert(
      fc.property(rows, fc.constantFrom('axial' as const, 'radial' as const), (list, method) => {
        const { series } = reportOn(played(method, ...list), today);
        for (const { planOn, actOn } of series) {
          for (const on of [planOn, actOn]) {
            const days = on === null ? [] : [today, on.earliest, on.likely, on.latest ?? '9999'];
            expect(days).toEqual(days.toSorted());
          }
        }
      }),
    );
  });

  it('moves with the calendar', () => {
    fc.assert(
      fc.property(rows, fc.integer({ min: 1, max: 5000 }), (list, shift) => {
        const before = reportOn(played('axial', ...list), today);
        const later = list.map(([doneOn, play]) => [addDays(doneOn, shift), play] as const);
        const after = reportOn(played('axial', ...later), addDays(today, shift));
        const moved = (on: typeof before.planOn) =>
          on && {
            likely: addDays(on.likely, shift),
            earliest: addDays(on.earliest, shift),
            latest: on.latest && addDays(on.latest, shift),
          };
        expect(after.planOn).toEqual(moved(before.planOn));
        expect(after.actOn).toEqual(moved(before.actOn));
        expect(after.verdict).toBe(before.verdict);
      }),
    );
  });

  it('is never later for more wear', () => {
    const step = fc.integer({ min: 5, max: 20 });
    fc.assert(
      fc.property(step, step, fc.integer({ min: 1, max: 10 }), (a, b, more) => {
        const at = (last: number) =>
          reportOn(
            played(
              'axial',
              ['2021-01-01', 0.1],
              ['2022-01-01', 0.1 + a / 100],
              ['2023-01-01', last / 100],
            ),
            '2023-01-01',
          ).actOn?.likely ?? '9999';
        expect(at(10 + a + b + more) <= at(10 + a + b)).toBe(true);
      }),
    );
  });

  it('draws on other cars, and says so', () => {
    const fast = Array.from({ length: 12 }, (_, i) =>
      recordOf({
        readings: played(
          'radial',
          ['2022-04-20', 0.1],
          ['2023-04-20', 0.3 + i / 200],
          ['2024-04-20', 0.5 + i / 100],
        ),
      }),
    );
    const pool = fast.map((record, i) => ({ carId: `car ${i}`, record }));
    const figures = valuesOf(PIVOT_FIGURES);
    const context = { today: '2025-04-20', figures };
    const alone = pivotReport(recordOf({ readings: THREE }), context);
    const pooled = pivotReport(recordOf({ readings: THREE }), {
      ...context,
      priorOf: wearPools(pool, context.today, figures)('own'),
    });
    expect(pooled.series[0]?.pooled).toBe(12);
    expect(pooled.sentence).toContain('12 joints of this kind and pattern on other cars');
    expect((pooled.actOn?.likely ?? '') < (alone.actOn?.likely ?? '')).toBe(true);
  });
});
