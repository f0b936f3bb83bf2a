import { describe, expect, it } from 'vitest';
import type { FrameReading } from '../../../src/domain/frame/frame-readings.ts';
import { frameReport } from '../../../src/domain/frame/frame-report.ts';
import type { PivotGap } from '../../../src/domain/frame/frame-report.ts';

const FITTED = '2022-04-01';
const TODAY = '2026-05-01';

function reportOn(
  readings: readonly FrameReading[],
  gaps: readonly PivotGap[] = [],
  repairedOn: string | null = null,
) {
  return frameReport({ fittedOn: FITTED, today: TODAY, readings, gaps, repairedOn });
}

function sways(...mm: readonly number[]): FrameReading[] {
  return mm.map((swayMm, i) => ({ doneOn: `${2022 + i}-05-01`, swayMm }));
}

// The limits are shop rules for four-seat frames.
describe('sway at the header', () => {
  it.each([
    [5, 'good'],
    [5.1, 'watch'],
    [10, 'watch'],
    [10.1, 'plan'],
    [15, 'plan'],
    [15.1, 'act'],
  ])('%f mm is %s', (mm, verdict) => {
    const report = reportOn(sways(mm));
    expect(report.verdict).toBe(verdict);
    expect(report.sway).toMatchObject({ verdict, value: mm, baseline: null });
  });

  it('is to be acted on at twice its first reading after fitting', () => {
    expect(reportOn(sways(4, 6, 7.9)).sway?.verdict).toBe('watch');
    const report = reportOn(sways(4, 6, 8));
    expect(report.sway).toMatchObject({
      verdict: 'act',
      baseline: { doneOn: '2022-05-01', value: 4 },
    });
    expect(report.because[0]).toContain('2 times the 4 mm of 2022-05-01');
  });

  it('does not take twice next to nothing for a sign', () => {
    expect(reportOn(sways(0, 1)).verdict).toBe('good');
    expect(reportOn(sways(1, 3.9)).verdict).toBe('good');
    expect(reportOn(sways(1, 4)).verdict).toBe('act');
  });

  it('holds nothing against readings from before the top was fitted or after today', () => {
    const before = { doneOn: '2022-03-01', swayMm: 3 };
    const after = { doneOn: '2026-06-01', swayMm: 30 };
    expect(reportOn([after, ...sways(6, 7), before]).sway).toMatchObject({
      verdict: 'watch',
      value: 7,
      baseline: { value: 6 },
    });
  });
});

describe('diagonals', () => {
  it.each([
    [3, 'good'],
    [3.5, 'watch'],
    [6, 'watch'],
    [8, 'plan'],
    [10, 'plan'],
    [10.5, 'act'],
  ])('%f mm apart is %s, either way round', (apart, verdict) => {
    const doneOn = '2026-04-01';
    for (const diagonalsMm of [
      { left: 1203.3 + apart, right: 1203.3 },
      { left: 1203.3, right: 1203.3 + apart },
    ]) {
      expect(reportOn([{ doneOn, diagonalsMm }]).diagonals).toMatchObject({
        verdict,
        value: apart,
      });
    }
  });
});

describe('breakaway force', () => {
  it.each([
    [50, 'good'],
    [40, 'good'],
    [60, 'good'],
    [61, 'watch'],
    [70, 'watch'],
    [71, 'plan'],
    [85, 'plan'],
    [86, 'act'],
    // A sharp fall: something that held holds no more.
    [39, 'watch'],
    [29, 'plan'],
    [14, 'act'],
  ])('%f N against a first 50 N is %s', (breakawayN, verdict) => {
    const report = reportOn([
      { doneOn: '2022-05-01', breakawayN: 50 },
      { doneOn: '2026-04-01', breakawayN },
    ]);
    expect(report.breakaway?.verdict).toBe(verdict);
    expect(report.verdict).toBe(verdict);
  });

  it('has nothing to be held against at first', () => {
    const report = reportOn([{ doneOn: '2026-04-01', breakawayN: 500 }]);
    expect(report.verdict).toBe('good');
    expect(report.because[0]).toContain('nothing to compare');
  });

  // S = L × g / w: 1.35 mm beyond healthy play over 900 mm and a face of 25 mm explain 48.6 mm.
  it('does not say that washers cure a sway of which much is left over', () => {
    const gap = { kind: 'main', gapMm: 1.6, leverMm: 900, washerFaceMm: 25 } as const;
    const because = (swayMm: number) =>
      reportOn(sways(swayMm), [{ pivot: 'L-MAIN', ...gap }]).because.join('; ');
    expect(because(58)).toContain('9.4 mm of the sway is explained by no joint');
    expect(because(58)).toContain('measure the sway anew');
    expect(because(58)).not.toContain('so washers cure it');
    expect(because(50)).toContain('so washers cure it');
  });

  it('is to be acted on while one side lags', () => {
    const lags = { doneOn: '2025-04-01', oneSideLags: true };
    expect(reportOn([lags])).toMatchObject({
      verdict: 'act',
      because: ['one side lags on 2025-04-01: act'],
    });
    expect(reportOn([lags, { doneOn: '2026-04-01', oneSideLags: false }]).verdict).toBeNull();
  });
});

describe('looseness told from twist', () => {
  const doneOn = '2026-04-01';
  const even = { left: 1200, right: 1201 };
  const skew = { left: 1200, right: 1208 };
  // Of the gap 0.25 mm are healthy (shop rule) and explain nothing.
  const gap: PivotGap = { pivot: 'L-LINK1', kind: 'link', gapMm: 0.55 };

  it('is loose where gaps account for the sway', () => {
    const report = reportOn([{ doneOn, swayMm: 12, diagonalsMm: even }], [gap]);
    expect(report.twist.told).toBe('loose');
    expect(report.share?.joints[0]).toMatchObject({ pivot: 'L-LINK1' });
    // 900 × (0.55 − 0.25) / 25 = 10.8 of 12 mm (plain geometry).
    expect(report.because).toContain(
      'gaps explain 10.8 mm of the sway at most: left link 1 90 %; 1.2 mm unexplained',
    );
  });

  it('is twisted where the diagonals differ though it hardly sways', () => {
    const report = reportOn([{ doneOn, swayMm: 4, diagonalsMm: skew }], [gap]);
    expect(report.twist.told).toBe('twisted');
    expect(report.verdict).toBe('plan');
  });

  it('may be both', () => {
    const report = reportOn([{ doneOn, swayMm: 12, diagonalsMm: skew }], [gap]);
    expect(report.twist.told).toBe('loose-and-twisted');
  });

  it('is unexplained where the gaps do not account for the sway', () => {
    const report = reportOn([{ doneOn, swayMm: 12, diagonalsMm: even }]);
    expect(report.twist.told).toBe('unexplained');
    expect(report.because.at(-1)).toContain('main brackets');
  });

  it('is looked for in arms and brackets where healthy gaps cannot explain the sway', () => {
    const healthy: PivotGap[] = ['L-LINK1', 'R-LINK1', 'L-MAIN'].map((pivot) => ({
      pivot,
      kind: 'link',
      gapMm: 0.25,
    }));
    const { share, because } = reportOn([{ doneOn, swayMm: 14, diagonalsMm: even }], healthy);
    expect(share).toMatchObject({ explainedMm: 0, unexplainedMm: 14 });
    expect(because).toContain(
      '14.0 mm of the sway is explained by no joint: look for a cracked arm or a slipped bracket',
    );
  });

  it('speaks of no measured gap where none was measured, and suspects no arm yet', () => {
    const { because } = reportOn([{ doneOn, swayMm: 18, diagonalsMm: even }]);
    expect(because.join('\n')).not.toContain('the gaps measured');
    expect(because.join('\n')).not.toContain('explained by no joint:');
    expect(because.at(-1)).toMatch(/^no gap was measured .+: measure the joints, then look/);
  });

  it('suspects no arm before the joints that nobody measured', () => {
    const frame = [
      { pivot: 'L-MAIN', kind: 'main' },
      { pivot: 'R-MAIN', kind: 'main' },
      { pivot: 'L-LINK1', kind: 'link' },
      { pivot: 'L-LATCH', kind: 'latch' },
    ] as const;
    const told = (gaps: readonly PivotGap[]) =>
      frameReport({
        fittedOn: FITTED,
        today: TODAY,
        readings: [{ doneOn, swayMm: 14, diagonalsMm: even }],
        gaps,
        joints: frame,
      }).because.join('\n');
    const [main, other, link] = frame.map((joint) => ({ ...joint, gapMm: 0.25 }));
    if (main === undefined || other === undefined || link === undefined) throw new Error('none');
    const suspects = 'look for a cracked arm or a slipped bracket';
    const sway = '14.0 mm of the sway is explained by no joint';
    // A latch carries no side load: nobody need measure its gap for this.
    expect(told([main])).toContain(
      `${sway} that was measured: measure the 2 other joints first, then ${suspects}`,
    );
    expect(told([main, other])).toContain(
      `${sway} that was measured: measure the one other joint first, then ${suspects}`,
    );
    expect(told([main, other, link])).toContain(`${sway}: ${suspects}`);
  });

  it('is sound where neither shows, and unknown where one was not measured', () => {
    expect(reportOn([{ doneOn, swayMm: 4, diagonalsMm: even }]).twist.told).toBe('sound');
    expect(reportOn([{ doneOn, swayMm: 4 }]).twist.told).toBe('unknown');
    expect(reportOn([{ doneOn, diagonalsMm: skew }]).twist.told).toBe('unknown');
  });

  it('takes the geometry that the shop measured, and no gap that gives no sway', () => {
    const own = { ...gap, leverMm: 500, washerFaceMm: 20 };
    const latch: PivotGap = { pivot: 'L-LATCH', kind: 'latch', gapMm: 2 };
    const { share } = reportOn([{ doneOn, swayMm: 20 }], [own, latch]);
    expect(share?.joints).toHaveLength(1);
    expect(share?.explainedMm).toBeCloseTo(7.5, 12);
  });
});

describe('what is missing', () => {
  it('is named', () => {
    expect(reportOn([]).missing).toEqual([
      'sway at the header',
      'the two diagonals',
      'breakaway force',
    ]);
    // Nobody can say that a frame is good on which nothing was measured.
    expect(reportOn([])).toMatchObject({ verdict: null, because: [], share: null });
    expect(reportOn(sways(6)).missing).not.toContain('sway at the header');
  });

  it('is what was not measured since a repair, though the first reading stands', () => {
    expect(reportOn(sways(4, 20), [], '2023-05-01')).toMatchObject({ sway: null, verdict: null });
    expect(reportOn(sways(4, 20, 5), [], '2023-05-01').sway).toMatchObject({
      verdict: 'good',
      baseline: { value: 4 },
    });
  });
});

describe('impossible readings of a frame', () => {
  it.each([
    [{ doneOn: '2025-02-30', swayMm: 3 }, 'calendar'],
    [{ doneOn: '2025-02-01', swayMm: NaN }, 'from 0 up'],
    [{ doneOn: '2025-02-01', swayMm: -3 }, 'from 0 up'],
    [{ doneOn: '2025-02-01', diagonalsMm: { left: Infinity, right: 1 } }, 'from 0 up'],
    [{ doneOn: '2025-02-01', breakawayN: 0 }, '0 N'],
  ])('refuses %o', (reading, reason) => {
    expect(() => reportOn([reading])).toThrow(reason);
  });

  it('refuses an impossible gap', () => {
    const gaps: PivotGap[] = [{ pivot: 'L-MAIN', kind: 'main', gapMm: -1 }];
    expect(() => reportOn(sways(6), gaps)).toThrow('L-MAIN');
  });
});
