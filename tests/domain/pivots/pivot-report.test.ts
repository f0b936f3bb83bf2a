import { describe, expect, it } from 'vitest';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { PIVOT_FIGURES } from '../../../src/domain/pivots/figures.ts';
import { pivotReport } from '../../../src/domain/pivots/pivot-report.ts';
import type { PivotRecord } from '../../../src/domain/pivots/series.ts';
import type { PivotState } from '../../../src/domain/pivots/state.ts';
import { played, recordOf } from './pivot-record.ts';

const TODAY = '2025-04-20';

function reportOn(known: Partial<PivotRecord>, today = TODAY, sideMissing?: number) {
  return pivotReport(recordOf(known), { today, sideMissing });
}

// The limits are shop rules.
describe('pivot report: the verdict', () => {
  it.each([
    ['axial', 0.25, 'good'],
    ['axial', 0.26, 'watch'],
    ['axial', 0.5, 'watch'],
    ['axial', 0.51, 'plan'],
    ['axial', 1, 'plan'],
    ['axial', 1.01, 'act'],
    ['radial', 0.25, 'good'],
    ['radial', 0.5, 'watch'],
    ['radial', 0.75, 'plan'],
    ['radial', 1.2, 'act'],
  ] as const)('%s %f mm is %s', (method, mm, verdict) => {
    const report = reportOn({ readings: played(method, ['2025-04-01', mm]) });
    expect(report.verdict).toBe(verdict);
    expect(report.because[0]).toContain(`${mm.toFixed(2)} mm ${method} on 2025-04-01`);
  });

  it.each([
    ['free', 'good'],
    ['dry', 'watch'],
    ['stiff', 'plan'],
    ['loose', 'plan'],
    ['oval', 'act'],
    ['seized', 'act'],
    ['sheared', 'act'],
  ] as const)('%s is %s whatever the play', (state, verdict) => {
    const states = [{ doneOn: '2025-04-01', state }];
    expect(reportOn({ states, readings: played('axial', ['2025-04-01', 0.1]) }).verdict).toBe(
      verdict,
    );
  });

  it('takes the worst of state, washers and both methods', () => {
    const known = {
      readings: [...played('axial', ['2025-01-01', 0.1]), ...played('radial', ['2024-01-01', 0.7])],
      states: [{ doneOn: '2025-01-01', state: 'dry' as PivotState }],
      washers: [{ doneOn: '2025-01-01', present: 2 }],
    };
    const report = reportOn(known);
    expect(report.verdict).toBe('plan');
    expect(report.method).toBe('radial');
    expect(report.because).toEqual([
      '0.70 mm radial on 2024-01-01: plan',
      'dry on 2025-01-01: it wants oil',
      '0.10 mm axial on 2025-01-01: good',
    ]);
  });

  it('asks for no oil at a joint that was oiled on the visit that found it dry', () => {
    const dry = { doneOn: '2025-01-01', state: 'dry' as PivotState };
    const sentence = (oiled: boolean) => reportOn({ states: [{ ...dry, oiled }] }).sentence;
    expect(sentence(true)).toContain('dry on 2025-01-01: it was oiled then');
    expect(sentence(true)).not.toContain('it wants oil');
    expect(sentence(false)).toContain('dry on 2025-01-01: it wants oil');
  });

  it('judges missing washers across the side', () => {
    const washers = [{ doneOn: '2025-01-01', present: 1 }];
    expect(reportOn({ washers }).verdict).toBe('plan');
    expect(reportOn({ washers }, TODAY, 2).verdict).toBe('act');
    expect(reportOn({ washers: [{ doneOn: '2025-01-01', present: 0 }] }).verdict).toBe('act');
    // This pivot has all of its own: what its side lacks is judged at those that lack it.
    const whole = [{ doneOn: '2025-01-01', present: 2 }];
    expect(reportOn({ washers: whole }, TODAY, 2).verdict).toBe('good');
  });

  it('counts a gap as wide as a washer as a washer gone', () => {
    const figures = { ...valuesOf(PIVOT_FIGURES), axialActOver: 3 };
    const readings = played('axial', ['2025-01-01', 1.6]);
    const report = pivotReport(recordOf({ readings }), { today: TODAY, figures });
    expect(report.verdict).toBe('act');
    expect(report.because[0]).toContain('the washer is gone');
    const latch = recordOf({ readings, kind: 'latch', washersExpected: 0 });
    expect(pivotReport(latch, { today: TODAY, figures }).verdict).toBe('plan');
  });

  // The largest gap at a ram in one maker's bulletin, 0.064 to 0.065 in (published).
  it.each([
    [1.6, 'good'],
    [1.61, 'act'],
  ])('holds the gap at a ram, %f mm, against its maker: %s', (mm, verdict) => {
    const readings = played('axial', ['2025-01-01', mm]);
    const record = { readings, kind: 'ram', washersExpected: 0 } as const;
    expect(reportOn(record).verdict).toBe(verdict);
  });

  it('looks at the last visit, not at older or later ones', () => {
    const states: PivotRecord['states'] = [
      { doneOn: '2025-06-01', state: 'sheared' },
      { doneOn: '2025-02-01', state: 'free' },
      { doneOn: '2024-02-01', state: 'seized' },
    ];
    expect(reportOn({ states }).verdict).toBe('good');
    const sameDay = [...states, { doneOn: '2025-02-01', state: 'loose' } as const];
    expect(reportOn({ states: sameDay }).verdict).toBe('plan');
  });

  it('can be good for want of records, and says so', () => {
    const report = reportOn({});
    expect(report).toMatchObject({
      verdict: 'good',
      because: ['nothing recorded yet'],
      trend: null,
      planOn: null,
      actOn: null,
    });
    // A joint that nobody measured was not found to be without play, nor can it be measured again.
    expect(report.sentence).toMatch(/: play not measured: measure it within \d+ months?/);
  });
});

describe('pivot report: repairs', () => {
  const readings = played(
    'axial',
    ['2021-04-01', 0.3],
    ['2022-04-01', 0.6],
    ['2023-04-01', 0.9],
    ['2024-04-01', 0.1],
    ['2025-04-01', 0.15],
  );

  it('begins anew after a repair', () => {
    const report = reportOn({ readings, repairs: ['2023-04-01', '2020-01-01'] });
    expect(report.verdict).toBe('good');
    expect(report.repairedOn).toBe('2023-04-01');
    expect(report.series[0]?.readings.map(({ mm }) => mm)).toEqual([0.1, 0.15]);
    expect(report.planOn).toBeNull();
    expect(report.sentence).toContain('no day named: a rise of 0.05 mm');
  });

  it('counts what is found on the day of a repair before it, unless said otherwise', () => {
    const found = {
      states: [{ doneOn: '2025-04-01', state: 'sheared' as const }],
      washers: [{ doneOn: '2025-04-01', present: 0 }],
      repairs: ['2025-04-01'],
    };
    expect(reportOn(found).verdict).toBe('good');
    const left = { doneOn: '2025-04-01', method: 'axial', mm: 0.3, afterRepair: true } as const;
    expect(reportOn({ ...found, readings: [left] }).verdict).toBe('watch');
  });

  it('leaves out repairs yet to come', () => {
    expect(reportOn({ readings, repairs: ['2025-09-01'] }).series[0]?.readings).toHaveLength(5);
  });
});

describe('pivot report: what it refuses', () => {
  it.each([
    [{ readings: played('axial', ['2025-01-01', NaN]) }, 'play'],
    [{ readings: played('axial', ['2025-01-01', -0.1]) }, 'play'],
    [{ readings: played('axial', ['2025-02-30', 0.1]) }, '2025-02-30'],
    [{ repairs: ['yesterday'] }, 'yesterday'],
    [{ washers: [{ doneOn: '2025-01-01', present: 1.5 }] }, 'washers'],
  ])('refuses impossible records, %#', (known, reason) => {
    expect(() => reportOn(known)).toThrow(reason);
  });
});
