import { describe, expect, it } from 'vitest';
import { FRAME_FIGURES } from '../../../src/domain/frame/frame-figures.ts';
import type { FrameReading } from '../../../src/domain/frame/frame-readings.ts';
import { readingsOf } from '../../../src/domain/frame/frame-readings.ts';
import { measuredOn } from '../../../src/domain/frame/measured-frame.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';

const FIGURES = valuesOf(FRAME_FIGURES);
const FIRST = '2024-03-01';
const DAY = '2026-03-01';

function on(day: string, readings: readonly FrameReading[], repairedOn: string | null = null) {
  return measuredOn(day, readingsOf(readings, '2024-01-01', '2026-06-01', repairedOn), FIGURES);
}

// The limits are shop rules: sway 5, 10, 15 mm or twice the first reading; diagonals 3, 6, 10 mm;
// force 20, 40, 70 % above or below the first reading.
describe('what was measured at a frame, and against which limit', () => {
  it.each([
    [5, 'good', { by: 'to', limit: 5 }],
    [5.5, 'watch', { by: 'over', limit: 5 }],
    [11, 'plan', { by: 'over', limit: 10 }],
    [15.5, 'act', { by: 'over', limit: 15 }],
  ])('sway of %d mm is %s', (swayMm, verdict, held) => {
    const found = on(DAY, [{ doneOn: DAY, swayMm }]);
    expect(found).toEqual([{ of: 'sway', value: swayMm, verdict, held }]);
  });

  it('holds sway against the first reading where that is what makes it act', () => {
    const swayed = (first: number, last: number) =>
      on(DAY, [
        { doneOn: FIRST, swayMm: first },
        { doneOn: DAY, swayMm: last },
      ])[0];
    const by = (value: number, limit: number) => ({
      verdict: 'act',
      held: { by: 'from', limit, first: { on: FIRST, value } },
    });
    expect(swayed(4, 8)).toMatchObject(by(4, 8));
    // A first reading within the error of reading counts as that error, 2 mm.
    expect(swayed(0.5, 4)).toMatchObject(by(0.5, 4));
    expect(swayed(4, 7.9)).toMatchObject({ verdict: 'watch', held: { by: 'over', limit: 5 } });
  });

  it.each([
    [48, 'good', { by: 'more', limit: 0.2 }],
    [60, 'plan', { by: 'more', limit: 0.4 }],
    [36, 'good', { by: 'less', limit: 0.2 }],
    [30, 'watch', { by: 'less', limit: 0.2 }],
  ])('force of %d N after 40 N is %s', (breakawayN, verdict, held) => {
    const found = on(DAY, [
      { doneOn: FIRST, breakawayN: 40 },
      { doneOn: DAY, breakawayN },
    ]);
    const first = { on: FIRST, value: 40 };
    expect(found).toEqual([{ of: 'force', value: breakawayN, verdict, held: { ...held, first } }]);
  });

  it('has nothing to hold a first force against', () => {
    expect(on(FIRST, [{ doneOn: FIRST, breakawayN: 40 }])).toMatchObject([
      { of: 'force', value: 40, held: { by: 'first' } },
    ]);
  });

  it('tells of the day alone, and not of what a repair of that day has made good', () => {
    const readings = [
      { doneOn: FIRST, swayMm: 4, diagonalsMm: { left: 1002, right: 1000 } },
      { doneOn: DAY, diagonalsMm: { left: 1000, right: 1007.5 } },
    ];
    expect(on(DAY, readings)).toEqual([
      { of: 'diagonals', value: 7.5, verdict: 'plan', held: { by: 'over', limit: 6 } },
    ]);
    expect(on(DAY, readings, DAY)).toEqual([]);
    expect(on('2026-04-01', readings)).toEqual([]);
  });
});
