import { describe, expect, it } from 'vitest';
import { figuresFor } from '../../../src/domain/figure-tables/figure-tables.ts';
import type { MoveFacts, MovePivot } from '../../../src/domain/may-move/move-facts.ts';
import { staysSince } from '../../../src/domain/may-move/stays-since.ts';
import type { PivotState } from '../../../src/domain/pivots/state.ts';

const FIGURES = { pivots: figuresFor('pivots'), frame: figuresFor('frame') };
const TODAY = '2026-06-08';

function joint(
  code: string,
  states: readonly (readonly [string, PivotState])[],
  ...repairs: string[]
) {
  return {
    code,
    kind: 'main',
    washersExpected: 2,
    readings: [],
    states: states.map(([doneOn, state]) => ({ doneOn, state })),
    washers: [],
    repairs,
  } satisfies MovePivot;
}

function since(change: Partial<MoveFacts>): string | null {
  const facts = {
    fittedOn: '2024-01-01',
    pivots: [],
    frame: [],
    findings: [],
    repairsBookedOn: [],
  };
  return staysSince({ ...facts, ...change }, TODAY, FIGURES);
}

describe('since when it is known that a top must stay', () => {
  it('is the day on which it was found first, however often it was looked at since', () => {
    expect(since({ pivots: [joint('L-MAIN', [['2026-03-02', 'seized']])] })).toBe('2026-03-02');
    expect(
      since({
        pivots: [
          joint('L-MAIN', [
            ['2026-03-02', 'seized'],
            ['2026-04-02', 'seized'],
            ['2026-05-02', 'seized'],
          ]),
        ],
      }),
    ).toBe('2026-03-02');
    // Another word for the same joint is the same matter.
    expect(
      since({
        pivots: [
          joint('L-MAIN', [
            ['2026-03-02', 'seized'],
            ['2026-04-02', 'sheared'],
          ]),
        ],
      }),
    ).toBe('2026-03-02');
  });

  it('begins anew after a repair, and is nothing where the top may be moved', () => {
    const again = joint(
      'L-MAIN',
      [
        ['2026-03-02', 'seized'],
        ['2026-05-20', 'seized'],
      ],
      '2026-04-01',
    );
    expect(since({ pivots: [again] })).toBe('2026-05-20');
    expect(
      since({ pivots: [joint('L-MAIN', [['2026-03-02', 'seized']], '2026-04-01')] }),
    ).toBeNull();
    expect(since({ pivots: [joint('L-MAIN', [['2026-03-02', 'stiff']])] })).toBeNull();
    expect(since({})).toBeNull();
  });

  it('goes over to the next matter where the first was mended', () => {
    const first = joint('L-MAIN', [['2026-03-02', 'seized']]);
    const second = joint('R-LINK1', [['2026-05-02', 'sheared']]);
    expect(since({ pivots: [first, second] })).toBe('2026-03-02');
    const mended = joint('L-MAIN', [['2026-03-02', 'seized']], '2026-05-20');
    expect(since({ pivots: [mended, second] })).toBe('2026-05-02');
  });

  it('knows findings too', () => {
    const finding = { fault: 'pivot-arm-bent', pivot: null, on: '2026-04-10' };
    expect(since({ findings: [finding] })).toBe('2026-04-10');
    expect(since({ findings: [finding], mended: [{ ...finding, on: '2026-05-01' }] })).toBeNull();
  });
});
