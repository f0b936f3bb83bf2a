import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { DELIVERY_DEFAULTS } from '../../src/domain/letters/delivery-figures.ts';
import * as retry from '../../src/mail/retry.ts';

const MINUTE = 60_000;
const backOff = (attempts: number, chance: number) =>
  retry.backOff(attempts, chance, DELIVERY_DEFAULTS);
const nextAttempt = (
  tried: Parameters<typeof retry.nextAttempt>[0],
  chance: number,
  own = DELIVERY_DEFAULTS,
) => retry.nextAttempt(tried, chance, own);

describe('waiting times', () => {
  // Common practice, no source: 1, 5, 15, 60 minutes, 4 and 12 hours.
  test.each([
    [1, 1],
    [2, 5],
    [3, 15],
    [4, 60],
    [5, 240],
    [6, 720],
    [7, 720],
    [50, 720],
  ])('after attempt %i: %i minutes', (attempts, minutes) => {
    expect(backOff(attempts, 0.5)).toBe(minutes * MINUTE);
    expect(backOff(attempts, 0)).toBe(minutes * 0.8 * MINUTE);
    expect(backOff(attempts, 0.999999)).toBeCloseTo(minutes * 1.2 * MINUTE, -3);
  });
});

describe('giving up', () => {
  const firstAt = '2026-03-28T08:00:00Z';
  test('47 hours 59 minutes after the first attempt there is one last try, at 48 hours', () => {
    const tried = { attempts: 9, firstAt, now: '2026-03-30T07:59:00Z' };
    expect(nextAttempt(tried, 0.5)).toBe('2026-03-30T08:00:00.000Z');
  });
  test('48 hours after the first attempt it is over', () => {
    expect(nextAttempt({ attempts: 9, firstAt, now: '2026-03-30T08:00:00Z' }, 0.5)).toBeNull();
  });
  test('the span of the settings decides', () => {
    const own = { ...DELIVERY_DEFAULTS, giveUpHours: 4 };
    const tried = { attempts: 4, firstAt, now: '2026-03-28T12:00:00Z' };
    expect(nextAttempt(tried, 0.5, own)).toBeNull();
    expect(nextAttempt(tried, 0.5)).not.toBeNull();
  });

  test('every course ends, each wait within a fifth of its table, none past the span', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 0.999, noNaN: true })), (chances) => {
        let now = firstAt;
        let attempts = 1;
        for (;;) {
          const next = nextAttempt(
            { attempts, firstAt, now },
            chances[attempts % (chances.length || 1)] ?? 0,
          );
          if (next === null) break;
          expect(Date.parse(next)).toBeGreaterThan(Date.parse(now));
          expect(Date.parse(next)).toBeLessThanOrEqual(Date.parse(firstAt) + 48 * 60 * MINUTE);
          now = next;
          attempts++;
        }
        expect(attempts).toBeLessThan(13);
        expect(Date.parse(now)).toBe(Date.parse(firstAt) + 48 * 60 * MINUTE);
      }),
    );
  });
});
