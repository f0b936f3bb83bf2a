import * as fc from 'fast-check';
import { RRuleTemporal } from 'rrule-temporal';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import {
  addDays,
  addMonths,
  daysBetween,
  dueDay,
  isDay,
  monthOf,
  weekdayOf,
  yearOf,
} from '../../../src/domain/calendar/day.ts';
import { anyDay, two } from './arbitrary-day.ts';
import { runs } from '../../setup/runs.ts';

const dueDays = (anchor: string, months: number, count: number) =>
  Array.from({ length: count }, (_, n) => dueDay(anchor, months, n));

const acceptedByTemporal = (text: string) => {
  try {
    return Temporal.PlainDate.from(text, { overflow: 'reject' }).toString() === text;
  } catch {
    return false;
  }
};

const tenthsOf = (month: string) =>
  [1997, 1998, 1999, 2000, 2001].map((year) => `${year}-${month}-10`);

const recurrence = (start: string, rule: string) =>
  new RRuleTemporal({
    rruleString: `DTSTART;VALUE=DATE:${start.replaceAll('-', '')}\nRRULE:${rule}`,
  })
    .all()
    .map((at) => at.toPlainDate().toString());

describe('days that exist', () => {
  it.each(['1900-01-01', '2200-12-31', '2000-02-29', '2024-02-29', '2026-12-31'])('%s', (day) => {
    expect(isDay(day)).toBe(true);
  });

  it.each([
    '1899-12-31',
    '2201-01-01',
    '1900-02-29',
    '2100-02-29',
    '2026-02-29',
    '2026-04-31',
    '2026-13-01',
    '2026-00-10',
    '2026-01-00',
    '2026-1-1',
    '20260101',
    '2026-01-01T00:00',
    ' 2026-01-01',
    '2026-01-01\n',
    '２０２６-01-01',
    '',
  ])('not %j', (text) => {
    expect(isDay(text)).toBe(false);
  });

  it('are those that Temporal accepts', () => {
    const part = fc.integer({ min: 0, max: 33 });
    fc.assert(
      fc.property(fc.integer({ min: 1900, max: 2200 }), part, part, (year, month, date) => {
        const text = `${year}-${two(month)}-${two(date)}`;
        expect(isDay(text)).toBe(acceptedByTemporal(text));
      }),
    );
  });
});

describe('arithmetic on plain days', () => {
  // Temporal documentation (published) and temporal-polyfill (computed).
  it('follows the printed sums of Temporal', () => {
    expect(addMonths('2019-01-31', 1)).toBe('2019-02-28'); // published: PlainDate, 2019-01-31 + P1M
    expect(addMonths('2020-02-29', -36)).toBe('2017-02-28'); // published: PlainMonthDay 02-29 → 2017
    expect(addMonths('2024-02-29', 12)).toBe('2025-02-28'); // computed
    expect(addMonths('2024-02-29', 48)).toBe('2028-02-29'); // computed: + P4Y
    expect(addMonths(addMonths('2024-02-29', 12), 12)).toBe('2026-02-28'); // computed: + P1Y + P1Y
    expect(addMonths(addMonths('2026-01-31', 1), 1)).toBe('2026-03-28'); // computed: + P1M + P1M
    expect(addMonths('2026-01-31', 2)).toBe('2026-03-31'); // computed: + P2M
    expect(addDays('2019-01-01', 370)).toBe('2020-01-06'); // published: P370D is P1Y5D
    expect(addDays('2020-01-01', 370)).toBe('2021-01-05'); // published: P370D is P1Y4D
    expect(addDays('2020-01-01', 190)).toBe(addDays(addMonths('2020-01-01', 6), 8)); // published: P6M8D
    expect(daysBetween('2024-02-29', '2025-02-28')).toBe(365);
  });

  it('equals Temporal for any day', () => {
    const span = fc.integer({ min: -30_000, max: 30_000 });
    fc.assert(
      fc.property(anyDay, anyDay, span, (day, other, n) => {
        const plain = Temporal.PlainDate.from(day);
        expect(addDays(day, n)).toBe(plain.add({ days: n }).toString());
        expect(daysBetween(day, other)).toBe(plain.until(other, { largestUnit: 'day' }).days);
        expect(weekdayOf(day)).toBe(plain.dayOfWeek);
        expect([yearOf(day), monthOf(day)]).toEqual([plain.year, plain.month]);
        const months = n % 2400;
        expect(addMonths(day, months)).toBe(plain.add({ months }).toString());
      }),
      { numRuns: runs(2000) },
    );
  });

  it('counts every day from 1900 to 2200 up by one', () => {
    const wrong: string[] = [];
    let plain = Temporal.PlainDate.from('1900-01-01');
    for (let n = 0; plain.year <= 2200; n++) {
      const day = plain.toString();
      if (addDays('1900-01-01', n) !== day || daysBetween('1900-01-01', day) !== n) wrong.push(day);
      plain = plain.add({ days: 1 });
    }
    expect(wrong).toEqual([]);
    expect(plain.toString()).toBe('2201-01-01');
  });

  it('refuses results that four digits cannot write', () => {
    expect(() => addDays('2200-12-31', 4_000_000)).toThrow(RangeError);
    expect(() => addMonths('1900-01-01', -12 * 1900)).toThrow(RangeError);
    expect(() => addDays('2026-01-01', Number.NaN)).toThrow(RangeError);
    expect(addDays('9999-12-30', 1)).toBe('9999-12-31');
  });
});

describe('due days', () => {
  // RFC 7529 examples for SKIP=BACKWARD (published, secondary copy in two code bases).
  it('falls back to the end of the month, and returns to the anchor', () => {
    expect(dueDays('2012-02-29', 12, 4)).toEqual([
      '2012-02-29',
      '2013-02-28',
      '2014-02-28',
      '2015-02-28',
    ]);
    expect(dueDays('2014-01-31', 1, 4)).toEqual([
      '2014-01-31',
      '2014-02-28',
      '2014-03-31',
      '2014-04-30',
    ]);
    expect(dueDay('2012-02-29', 12, 4)).toBe('2016-02-29');
    expect(dueDay('2024-02-29', 12, 4)).toBe('2028-02-29');
  });

  // RFC 7529, default SKIP=OMIT, and SKIP=FORWARD (published, secondary copy): the series that
  // due days are not, and how they differ from it.
  it('neither drops missing days nor moves them forward', () => {
    const yearly = dueDays('2012-02-29', 12, 13);
    expect(yearly.filter((day) => day.endsWith('-29'))).toEqual([
      '2012-02-29',
      '2016-02-29',
      '2020-02-29',
      '2024-02-29',
    ]);
    const forward = ['2013-03-01', '2014-03-01', '2015-03-01', '2016-02-29', '2017-03-01'];
    expect(yearly.slice(1, 6).map((day) => addDays(day, day.endsWith('-28') ? 1 : 0))).toEqual(
      forward,
    );
    const monthly = dueDays('2014-01-31', 1, 4);
    const forwardMonthly = ['2014-01-31', '2014-03-01', '2014-03-31', '2014-05-01'];
    expect(monthly.map((day, n) => daysBetween(day, forwardMonthly[n] ?? ''))).toEqual([
      0, 1, 0, 1,
    ]);
  });

  // RFC 5545 section 3.8.5.3 (published): the parts of its examples that have one anchor.
  it('meets the examples of RFC 5545', () => {
    expect(dueDays('1997-06-10', 12, 5)).toEqual(tenthsOf('06'));
    expect(dueDays('1997-07-10', 12, 5)).toEqual(tenthsOf('07'));
    expect(dueDays('1997-03-10', 24, 4)).toEqual([
      '1997-03-10',
      '1999-03-10',
      '2001-03-10',
      '2003-03-10',
    ]);
    expect(dueDays('1997-01-01', 36, 4)).toEqual([
      '1997-01-01',
      '2000-01-01',
      '2003-01-01',
      '2006-01-01',
    ]);
    expect(dueDays('2007-01-15', 1, 3)).toEqual(['2007-01-15', '2007-02-15', '2007-03-15']);
    expect(dueDays('1997-10-31', 1, 4)).toEqual([
      '1997-10-31',
      '1997-11-30',
      '1997-12-31',
      '1998-01-31',
    ]);
    for (const date of [10, 11, 12, 13]) {
      expect(dueDay(`1997-09-${date}`, 18, 1)).toBe(`1999-03-${date}`);
    }
    expect(
      Array.from({ length: 17 }, (_, n) => addDays('1997-09-02', 7 * n)).map((day) => day.slice(5)),
    ).toEqual(
      '09-02 09-09 09-16 09-23 09-30 10-07 10-14 10-21 10-28 11-04 11-11 11-18 11-25 12-02 12-09 12-16 12-23'.split(
        ' ',
      ),
    );
    expect(daysBetween('1997-09-02', '1997-12-23') + 1).toBe(113);
    expect(addDays('1997-09-02', 40)).toBe('1997-10-12');
  });

  it('equals rrule-temporal with SKIP=BACKWARD', () => {
    const months = fc.integer({ min: 1, max: 60 });
    fc.assert(
      fc.property(anyDay, months, (anchor, interval) => {
        const rule = `RSCALE=GREGORIAN;FREQ=MONTHLY;INTERVAL=${interval};SKIP=BACKWARD;COUNT=12`;
        expect(dueDays(anchor, interval, 12)).toEqual(recurrence(anchor, rule));
      }),
      { numRuns: runs(60) },
    );
    const yearly = 'RSCALE=GREGORIAN;FREQ=YEARLY;SKIP=BACKWARD;COUNT=9';
    expect(dueDays('2024-02-29', 12, 9)).toEqual(recurrence('2024-02-29', yearly));
  });
});
