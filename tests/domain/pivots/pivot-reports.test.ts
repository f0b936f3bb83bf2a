import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays } from '../../../src/domain/calendar/day.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { PIVOT_FIGURES } from '../../../src/domain/pivots/figures.ts';
import { pivotReports, pivotVerdicts } from '../../../src/domain/pivots/pivot-reports.ts';
import { played, recordOf } from './pivot-record.ts';

const TODAY = '2025-05-01';
const DAY = '2025-04-01';

describe('reports of a whole frame', () => {
  it('lets each pivot know what its side lacks', () => {
    const one = [{ doneOn: DAY, present: 1 }];
    const reports = pivotReports(
      [
        recordOf({ code: 'L-MAIN', washers: one }),
        recordOf({ code: 'L-LINK1', kind: 'link', washers: one }),
        recordOf({ code: 'R-MAIN', washers: one }),
        recordOf({ code: 'R-LINK1', kind: 'link' }),
      ],
      { today: TODAY },
    );
    expect(reports.pivots.map(({ verdict }) => verdict)).toEqual(['act', 'act', 'plan', 'good']);
    expect(reports.pivots[0]?.because[0]).toBe(
      '1 of 2 washers missing on 2025-04-01, 2 on this side',
    );
    expect(reports.verdict).toBe('act');
    expect(reports.sides.L.missing).toBe(2);
  });

  it('leaves out washers that a repair has renewed', () => {
    const lost = { washers: [{ doneOn: DAY, present: 0 }], repairs: [DAY] };
    const reports = pivotReports([recordOf(lost)], { today: TODAY });
    expect(reports).toMatchObject({ verdict: 'good', sides: { L: { missing: 0 } } });
  });

  it('hands on the last axial gap of each pivot since its repair', () => {
    const readings = played('axial', ['2024-01-01', 0.6], [DAY, 0.3]);
    const reports = pivotReports(
      [
        recordOf({ readings: [...readings, ...played('radial', ['2025-04-20', 0.9])] }),
        recordOf({ code: 'R-MAIN', readings, repairs: [DAY] }),
      ],
      { today: TODAY },
    );
    expect(reports.gaps).toEqual([{ pivot: 'L-MAIN', kind: 'main', gapMm: 0.3 }]);
  });

  it('is good for a frame of which nothing is known', () => {
    expect(pivotReports([], { today: TODAY })).toMatchObject({ verdict: 'good', pivots: [] });
  });

  it('comes to the same verdicts where they alone are asked for', () => {
    const on = fc.integer({ min: 0, max: 2000 }).map((n) => addDays('2019-01-01', n));
    const mm = fc.integer({ min: 0, max: 120 }).map((hundredths) => hundredths / 100);
    const record = fc
      .record({
        code: fc.constantFrom('L-MAIN', 'R-LINK1', 'R-MAIN'),
        axial: fc.array(fc.tuple(on, mm), { maxLength: 4 }),
        radial: fc.array(fc.tuple(on, mm), { maxLength: 4 }),
        counted: fc.array(fc.tuple(on, fc.integer({ min: 0, max: 2 })), { maxLength: 3 }),
      })
      .map(({ code, axial, radial, counted }) =>
        recordOf({
          code,
          readings: [...played('axial', ...axial), ...played('radial', ...radial)],
          washers: counted.map(([doneOn, present]) => ({ doneOn, present })),
        }),
      );
    const figures = valuesOf(PIVOT_FIGURES);
    fc.assert(
      fc.property(fc.array(record, { maxLength: 3 }), (records) => {
        const context = { today: '2026-01-01', figures };
        const said = pivotReports(records, context).pivots.map(({ verdict }) => verdict);
        expect(pivotVerdicts(records, context)).toEqual(said);
      }),
    );
  });
});
