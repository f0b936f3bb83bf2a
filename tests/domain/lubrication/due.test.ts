import * as fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { lubricationDue, upcomingDueDays } from '../../../src/domain/lubrication/due.ts';

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
  it('keep to the anchor', () => {
    expect(upcomingDueDays('2012-02-29', 12, '2013-01-01', '2016-12-31')).toEqual([
      '2013-02-28',
      '2014-02-28',
      '2015-02-28',
      '2016-02-29',
    ]);
  });

  it('take in both ends and leave out the anchor itself', () => {
    expect(upcomingDueDays('2014-01-31', 1, '2014-01-31', '2014-03-31')).toEqual([
      '2014-02-28',
      '2014-03-31',
    ]);
    expect(upcomingDueDays('2014-01-31', 1, '2014-03-01', '2014-03-30')).toEqual([]);
  });

  it('are all that Temporal finds from the anchor', () => {
    const ms = fc.integer({ min: Date.UTC(1990, 0), max: Date.UTC(2040, 0) });
    const day = ms.map((at) => new Date(at).toISOString().slice(0, 10));
    const span = fc.integer({ min: -10, max: 2000 });
    fc.assert(
      fc.property(
        day,
        fc.integer({ min: 1, max: 24 }),
        day,
        span,
        (anchor, interval, from, days) => {
          const to = Temporal.PlainDate.from(from).add({ days }).toString();
          const expected: string[] = [];
          for (let n = 1; n <= 800; n++) {
            const due = Temporal.PlainDate.from(anchor)
              .add({ months: n * interval })
              .toString();
            if (due >= from && due <= to) expected.push(due);
          }
          expect(upcomingDueDays(anchor, interval, from, to)).toEqual(expected);
        },
      ),
      { numRuns: 60 },
    );
  });

  it.each([0, -3, Number.NaN])('refuse an interval of %d months', (months) => {
    expect(() => upcomingDueDays('2026-01-01', months, '2026-01-01', '2027-01-01')).toThrow(
      RangeError,
    );
  });
});
