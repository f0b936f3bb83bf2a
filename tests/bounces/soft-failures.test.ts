import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addHours } from '../../src/domain/calendar/instant.ts';
import { valuesOf } from '../../src/domain/figures/figure.ts';
import type { SoftFailure } from '../../src/domain/standing/soft-failures.ts';
import { withSoftFailure } from '../../src/domain/standing/soft-failures.ts';
import { STANDING_FIGURES } from '../../src/domain/standing/standing-figures.ts';

const START = '2026-01-01T00:00:00.000Z';
const figures = valuesOf(STANDING_FIGURES);

/** The plain reading of the shop rule: distinct letters in the last 30 days, this one included. */
function isDead(history: readonly SoftFailure[]): boolean {
  const last = history.at(-1);
  if (last === undefined) return false;
  const from = Date.parse(last.at) - figures.softDays * 86_400_000;
  const letters = new Set(
    history.filter(({ at }) => Date.parse(at) > from).map(({ letterId }) => letterId),
  );
  return letters.size >= figures.softFailures;
}

describe('failures that may pass', () => {
  it('count by letter within the days of the rule', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ hours: fc.nat(24 * 20), letter: fc.nat(5) }), { maxLength: 12 }),
        (steps) => {
          let known: SoftFailure[] = [];
          const history: SoftFailure[] = [];
          let hours = 0;
          for (const step of steps) {
            hours += step.hours;
            // A letter is reported again at once or not at all.
            const letterId = `${hours}-${step.letter}`;
            const failure = { letterId, at: addHours(START, hours) };
            history.push(failure);
            const { failures, dead } = withSoftFailure(known, failure);
            expect(dead).toBe(isDead(history));
            known = failures;
          }
        },
      ),
    );
  });

  it('are forgotten after the days of an organisation that chose others', () => {
    const rule = { ...figures, softDays: 7, softFailures: 2 };
    const first = { letterId: 'a', at: START };
    const week = { letterId: 'b', at: addHours(START, 7 * 24) };
    expect(withSoftFailure([first], week, rule)).toEqual({ failures: [week], dead: false });
    const sooner = { letterId: 'b', at: addHours(START, 7 * 24 - 1) };
    expect(withSoftFailure([first], sooner, rule).dead).toBe(true);
  });
});
