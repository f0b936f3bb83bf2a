import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { OUTCOMES } from '../../../src/domain/warranty/declined.ts';
import { declinedWork } from '../../../src/domain/warranty/declined.ts';
import { openWork } from '../../../src/domain/warranty/open-work.ts';

const word = (
  fault: string,
  outcome: (typeof OUTCOMES)[number],
  on: string,
  pivotCode?: string,
) => ({
  fault,
  outcome,
  on,
  pivotCode,
  advised: `mend ${fault}`,
});

describe('open work', () => {
  it('is what was advised or declined last, not what was accepted or done since', () => {
    const open = openWork([
      word('seam', 'done', '2026-05-01'),
      word('seam', 'advised', '2026-04-01'),
      word('washers', 'advised', '2026-04-01', 'L-MAIN'),
      word('washers', 'accepted', '2026-05-01', 'R-MAIN'),
      word('washers', 'declined', '2026-05-01', 'L-MAIN'),
      word('seal', 'done', '2026-04-01'),
      word('seal', 'advised', '2026-06-01'),
    ]);
    expect(open.map(({ fault, outcome }) => [fault, outcome])).toEqual([
      ['washers', 'declined'],
      ['seal', 'advised'],
    ]);
  });

  it('holds all work that stands declined, whatever the order of its entries', () => {
    const entry = fc.record({
      fault: fc.constantFrom('seam', 'seal'),
      outcome: fc.constantFrom(...OUTCOMES),
      on: fc.integer({ min: 10, max: 28 }).map((day) => `2026-05-${day}`),
      advised: fc.constant('mend it'),
    });
    const distinctDays = fc.uniqueArray(entry, { selector: ({ on }) => on, maxLength: 8 });
    fc.assert(
      fc.property(distinctDays, (entries) => {
        const open = openWork(entries).map(({ fault }) => fault);
        expect(open).toEqual(
          expect.arrayContaining(declinedWork(entries).map(({ fault }) => fault)),
        );
        expect(openWork(entries.toReversed())).toEqual(openWork(entries));
      }),
    );
  });
});
