import { describe, expect, it } from 'vitest';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { FOLDING_FIGURES } from '../../../src/domain/folding/folding-figures.ts';
import type { EventSources } from '../../../src/domain/round/advice-events.ts';
import { adviceEvents } from '../../../src/domain/round/advice-events.ts';

const eventsOf = (sources: Partial<EventSources>, today = '2026-06-12') =>
  adviceEvents(
    {
      zone: 'Europe/London',
      limitDays: 3,
      entries: [],
      stiffOn: [],
      sealMissingOn: [],
      ...sources,
    },
    today,
    valuesOf(FOLDING_FIGURES),
  );
const folded = (at: string, more: object = {}) => ({ position: 'folded' as const, at, ...more });
const raised = (at: string) => ({ position: 'raised' as const, at });

describe('the happenings that make advice timely', () => {
  it.each([
    ['one minute within the limit', '2026-06-11T07:59:00.000Z', []],
    ['at the limit', '2026-06-11T08:00:00.000Z', []],
    [
      'one minute over it',
      '2026-06-11T08:01:00.000Z',
      [{ name: 'folded-over-limit', on: '2026-06-11' }],
    ],
  ])('a top raised %s', (_, at, expected) => {
    expect(eventsOf({ entries: [folded('2026-06-08T08:00:00.000Z'), raised(at)] })).toEqual(
      expected,
    );
  });

  it('a top raised twice after its limit was left folded once', () => {
    const entries = [
      folded('2026-06-01T08:00:00.000Z'),
      raised('2026-06-06T08:00:00.000Z'),
      raised('2026-06-06T09:00:00.000Z'),
    ];
    expect(eventsOf({ entries })).toHaveLength(1);
  });

  it('one that went down damp was wet, and one driven without its cover is remembered', () => {
    const entries = [folded('2026-06-11T23:30:00.000Z', { damp: true, coverOn: false })];
    // 23:30 in UTC is half past midnight in London in summer.
    expect(eventsOf({ entries })).toEqual([
      { name: 'folded-damp', on: '2026-06-12' },
      { name: 'wet-logged', on: '2026-06-12' },
      { name: 'cover-not-fitted', on: '2026-06-12' },
    ]);
  });

  it('what lies more than sixty days back is forgotten', () => {
    const entries = [folded('2026-06-01T08:00:00.000Z', { damp: true })];
    expect(eventsOf({ entries }, '2026-07-31')).toHaveLength(2);
    expect(eventsOf({ entries }, '2026-08-01')).toEqual([]);
  });

  it('findings and stiff pivots stand with the day of their visit', () => {
    expect(eventsOf({ stiffOn: ['2026-06-10'], sealMissingOn: ['2026-06-11'] })).toEqual([
      { name: 'stiff-logged', on: '2026-06-10' },
      { name: 'tailgate-seal-missing', on: '2026-06-11' },
    ]);
  });
});
