import * as fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, test } from 'vitest';
import { addDays } from '../../../src/domain/calendar/day.ts';
import { USUAL_TERMS, usualTermsInWords } from '../../../src/domain/warranty/usual-terms.ts';
import {
  endingWithin,
  WARRANTY_WORDS,
  warrantyEnds,
  warrantyEndsOn,
} from '../../../src/domain/warranty/warranty.ts';
import { runs } from '../../setup/runs.ts';

describe('the end of a warranty', () => {
  // Clamped to the end of the month, as Temporal's PlainDate.add does (checked below).
  test.each([
    ['2024-05-10', 18, '2025-11-10'],
    ['2024-08-31', 6, '2025-02-28'],
    ['2023-08-31', 6, '2024-02-29'],
    ['2024-02-29', 12, '2025-02-28'],
    ['2024-02-29', 48, '2028-02-29'],
    ['2024-02-29', 72, '2030-02-28'],
  ])('%s and %d months is %s', (fittedOn, months, endsOn) => {
    expect(warrantyEndsOn(fittedOn, months)).toBe(endsOn);
  });

  test('agrees with temporal-polyfill for any day and term', () => {
    const property = fc.property(
      fc.integer({ min: 0, max: 40_000 }),
      fc.integer({ min: 1, max: 240 }),
      (n, months) => {
        const fittedOn = addDays('1980-01-01', n);
        const expected = Temporal.PlainDate.from(fittedOn).add({ months }).toString();
        return warrantyEndsOn(fittedOn, months) === expected;
      },
    );
    expect(fc.check(property, { numRuns: runs(1000) }).counterexample).toBeNull();
  });

  const top = {
    fittedOn: '2023-05-03',
    warranties: [
      { part: 'cover', months: 72 },
      { part: 'workmanship', months: 18 },
      { part: 'glass-bond', months: 36 },
      { part: 'headlining', months: 36 },
    ],
  };

  test('is listed per part, soonest first', () => {
    expect(warrantyEnds(top, '2026-03-04').map((end) => [end.part, end.endsOn, end.state])).toEqual(
      [
        ['workmanship', '2024-11-03', 'ended'],
        ['glass-bond', '2026-05-03', 'running'],
        ['headlining', '2026-05-03', 'running'],
        ['cover', '2029-05-03', 'running'],
      ],
    );
  });

  test.each([
    ['2026-03-03', []],
    ['2026-03-04', ['glass-bond', 'headlining']],
    ['2026-05-02', ['glass-bond', 'headlining']],
    ['2026-05-03', []],
  ])('on %s within sixty days: %j', (today, parts) => {
    expect(endingWithin(warrantyEnds(top, today), 60).map((end) => end.part)).toEqual(parts);
  });

  test('counts the days left as temporal-polyfill does', () => {
    const property = fc.property(fc.integer({ min: -3000, max: 3000 }), (n) => {
      const today = addDays('2026-05-03', n);
      const [end] = warrantyEnds(
        { fittedOn: '2023-05-03', warranties: [{ part: 'x', months: 36 }] },
        today,
      );
      const left = Temporal.PlainDate.from(today).until('2026-05-03').days;
      return end?.daysLeft === left && end.state === (left > 0 ? 'running' : 'ended');
    });
    expect(fc.check(property).counterexample).toBeNull();
  });

  test('leaves the law to lawyers', () => {
    expect(WARRANTY_WORDS.en).toMatch(/on top of your statutory rights.*lawyer/);
    expect(WARRANTY_WORDS.de).toMatch(/gesetzlichen Rechten/);
  });
});

test('usual terms are those of the sample of six sellers and fitters (published, secondary copy)', () => {
  const months = Object.fromEntries(USUAL_TERMS.map((row) => [row.part, row.months]));
  expect(months).toEqual({
    cover: [36, 72],
    'glass-bond': [36, 72],
    'plastic-window': [0, 0],
    headlining: [36, 60],
    'other-parts': [12, 60],
    workmanship: [12, 24],
  });
});

test('usual terms are read in words, and none is not a term of 0 months', () => {
  const lines = usualTermsInWords();
  expect(lines).toContain('headlining: 36 to 60 months');
  expect(lines).toContain('plastic window: none, or only its stitching');
});
