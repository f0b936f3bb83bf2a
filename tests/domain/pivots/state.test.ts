import { describe, expect, it } from 'vitest';
import {
  PIVOT_STATES,
  STATE_VERDICTS,
  verdictOver,
  VERDICTS,
  worstOf,
} from '../../../src/domain/pivots/state.ts';

describe('state words and verdicts', () => {
  // Shop rule; the order of the words is the trade's.
  it('judges the ladder of state words', () => {
    expect(PIVOT_STATES.map((state) => STATE_VERDICTS[state])).toEqual([
      'good',
      'watch',
      'plan',
      'plan',
      'act',
      'act',
      'act',
    ]);
  });

  it('takes the worst', () => {
    expect(worstOf()).toBe('good');
    expect(worstOf('watch', 'good')).toBe('watch');
    expect(worstOf('plan', 'act', 'watch')).toBe('act');
    for (const verdict of VERDICTS) expect(worstOf(verdict, 'good', verdict)).toBe(verdict);
  });

  it('counts a limit itself to the better side', () => {
    expect([0, 0.25, 0.26, 0.5, 0.51, 1, 1.01].map((mm) => verdictOver(mm, 0.25, 0.5, 1))).toEqual([
      'good',
      'good',
      'watch',
      'watch',
      'plan',
      'plan',
      'act',
    ]);
  });
});
