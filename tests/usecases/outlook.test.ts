import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays, addMonths } from '../../src/domain/calendar/day.ts';
import type { TopWithReturns } from '../../src/usecases/day/yearly-returns.ts';
import { fittedYears, yearlyReturns } from '../../src/usecases/day/yearly-returns.ts';

const TODAY = '2026-06-08';
const top = (fittedOn: string, cameOn: string[] = [], retiredOn: string | null = null) => ({
  fittedOn,
  retiredOn,
  cameOn,
});

describe('yearly returns', () => {
  it('count a year once it is over, with its grace', () => {
    expect(yearlyReturns([top('2025-05-18')], TODAY, 21)).toEqual({ due: 0, came: 0, inCare: 1 });
    expect(yearlyReturns([top('2025-05-17')], TODAY, 21)).toEqual({ due: 1, came: 0, inCare: 0 });
    const late = top('2025-05-17', ['2026-06-07']);
    expect(yearlyReturns([late], TODAY, 21)).toEqual({ due: 1, came: 1, inCare: 1 });
  });

  it('do not count as due who stayed away, until he is back', () => {
    const away = top('2021-01-01', ['2022-01-05']);
    expect(yearlyReturns([away], TODAY, 21)).toEqual({ due: 2, came: 1, inCare: 0 });
    const back = top('2021-01-01', ['2022-01-05', '2024-01-05', '2026-01-05']);
    expect(yearlyReturns([back], TODAY, 21)).toEqual({ due: 3, came: 1, inCare: 1 });
  });

  it('end with the top', () => {
    const retired = top('2023-01-01', ['2024-01-02'], '2024-12-01');
    expect(yearlyReturns([retired], TODAY, 21)).toEqual({ due: 1, came: 1, inCare: 0 });
  });

  it('give back the cars in care of f × (1 − r^L) / (1 − r), from memory: arithmetic', () => {
    // 64 tops a year over four years, each with three quarters coming again: 64, 48, 36, 27.
    const tops: TopWithReturns[] = [];
    for (let year = 0; year < 4; year += 1) {
      const fittedOn = addDays(addMonths(TODAY, -12 * year), -60);
      for (let n = 0; n < 64; n += 1) {
        const stays = [n < 48, n < 36, n < 27].slice(0, year);
        const away = stays.indexOf(false);
        const years = away < 0 ? year : away;
        const cameOn = Array.from({ length: years }, (_, i) => addMonths(fittedOn, 12 * (i + 1)));
        tops.push({ fittedOn, retiredOn: null, cameOn });
      }
    }
    const { due, came, inCare } = yearlyReturns(tops, TODAY, 21);
    expect(came / due).toBeCloseTo(0.75, 12);
    expect(inCare).toBeCloseTo((64 * (1 - 0.75 ** 4)) / (1 - 0.75), 9);
    // A table names the last coming of each: those in care are the same, and nobody was seen to return or not.
    const told = tops.map((one) => ({
      ...one,
      cameOn: one.cameOn.slice(-1),
      knownSince: TODAY,
    }));
    expect(yearlyReturns(told, TODAY, 21)).toEqual({ due: 0, came: 0, inCare });
    // A year on, those in care are due, and of whoever is back since, nothing is forgotten.
    const later = addMonths(TODAY, 24);
    const back = told.map((one, n) =>
      n % 2 === 0 ? one : { ...one, cameOn: [addDays(TODAY, 20)] },
    );
    expect(yearlyReturns(back.slice(0, 2), later, 21)).toEqual({ due: 2, came: 0, inCare: 0 });
    const lapsed = { fittedOn: '2020-01-01', retiredOn: null, cameOn: ['2021-01-02'] };
    const since = { ...lapsed, knownSince: TODAY };
    expect(yearlyReturns([since], TODAY, 21)).toEqual({ due: 0, came: 0, inCare: 0 });
    const again = { ...since, cameOn: ['2021-01-02', '2026-08-01', '2027-08-01'] };
    expect(yearlyReturns([again], later, 21)).toEqual({ due: 1, came: 1, inCare: 1 });
  });

  it('never have more who came than were due, or more in care than there are', () => {
    const days = fc.integer({ min: 0, max: 3000 }).map((n) => addDays('2018-01-01', n));
    const tops = fc.array(
      fc.record({
        fittedOn: days,
        retiredOn: fc.constant(null),
        cameOn: fc.array(days),
        knownSince: fc.option(days),
      }),
    );
    fc.assert(
      fc.property(tops, (all) => {
        const { due, came, inCare } = yearlyReturns(all, TODAY, 21);
        expect(came).toBeLessThanOrEqual(due);
        expect(inCare).toBeLessThanOrEqual(all.length);
      }),
    );
  });
});

describe('tops fitted a year', () => {
  it('are counted in full years back from today, none before the first on record', () => {
    const fitted = ['2023-06-08', '2024-06-07', '2024-06-08', '2026-06-07', '2026-06-08'];
    expect(fittedYears(fitted, TODAY, 5)).toEqual([
      { from: '2025-06-08', to: '2026-06-07', fitted: 1 },
      { from: '2024-06-08', to: '2025-06-07', fitted: 1 },
      { from: '2023-06-08', to: '2024-06-07', fitted: 2 },
    ]);
    expect(fittedYears(fitted, TODAY, 1)).toHaveLength(1);
    expect(fittedYears(['2025-06-09'], TODAY, 3)).toEqual([]);
    expect(fittedYears([], TODAY, 3)).toEqual([]);
  });
});
