import { describe, expect, it } from 'vitest';
import { dueDay } from '../../../src/domain/calendar/day.ts';
import { lubricationDue } from '../../../src/domain/lubrication/due.ts';

const fitted = { fittedOn: '2025-03-01', lastOn: null, intervalMonths: 12 };

describe('when a top is due', () => {
  it('counts from the day it was fitted until it is first lubricated', () => {
    expect(lubricationDue({ ...fitted, today: '2025-04-01' })).toEqual({
      intervalMonths: 12,
      lastOn: null,
      dueOn: '2026-03-01',
      windowFrom: '2026-02-01',
      windowTo: '2026-03-22',
      state: 'ahead',
    });
  });

  it('counts from the last lubrication after that', () => {
    const due = lubricationDue({
      ...fitted,
      lastOn: '2025-08-31',
      intervalMonths: 6,
      today: '2025-09-01',
    });
    expect([due.lastOn, due.dueOn]).toEqual(['2025-08-31', '2026-02-28']);
  });

  // RFC 7529, SKIP=BACKWARD (published, secondary copy).
  it('falls on 28 February for a top fitted on 29 February', () => {
    const due = lubricationDue({ ...fitted, fittedOn: '2024-02-29', today: '2024-03-01' });
    expect(due.dueOn).toBe('2025-02-28');
  });

  it.each([
    ['2026-01-31', 'ahead'],
    ['2026-02-01', 'open'],
    ['2026-03-01', 'open'],
    ['2026-03-22', 'open'],
    ['2026-03-23', 'late'],
  ])('on %s is %s', (today, state) => {
    expect(lubricationDue({ ...fitted, today }).state).toBe(state);
  });

  it("follows an organisation's own window", () => {
    const due = lubricationDue(
      { ...fitted, today: '2026-03-01' },
      { windowBeforeDays: 7, windowAfterDays: 0 },
    );
    expect([due.windowFrom, due.windowTo]).toEqual(['2026-02-22', '2026-03-01']);
  });
});

describe('due days to come', () => {
  // RFC 7529, SKIP=BACKWARD (published, secondary copy).
  it.each([
    ['2012-02-29', 12, ['2013-02-28', '2014-02-28', '2015-02-28', '2016-02-29']],
    ['2014-01-31', 1, ['2014-02-28', '2014-03-31']],
  ])('from %s every %d months keep to the anchor', (anchor, months, days) => {
    expect(days.map((_, i) => dueDay(anchor, months, i + 1))).toEqual(days);
  });
});
