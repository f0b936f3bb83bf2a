import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { eachWhileKept } from '../../src/usecases/round/while-kept.ts';
import { runs } from '../setup/runs.ts';

const turns = async (count: number): Promise<void> => {
  for (let n = 0; n < count; n++) await Promise.resolve();
};

describe('work in pieces of which the last is kept while the next is done', () => {
  const piece = fc.record({
    deed: fc.nat(6),
    keeping: fc.nat(12),
    fault: fc.constantFrom('none', 'none', 'none', 'in the deed', 'in keeping'),
  });

  it('does one deed at a time, has one kept beside it at most, and collects in order', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(piece, { maxLength: 12 }), fc.nat(12), async (pieces, endsAt) => {
        let deeds = 0;
        let open = 0;
        let most = 0;
        let over = false;
        const begun: number[] = [];
        const collected: number[] = [];
        const outcome = await eachWhileKept(
          pieces.map((one, n) => ({ ...one, n })),
          async ({ n, deed, keeping, fault }, deedIsDone) => {
            begun.push(n);
            if (n === endsAt) over = true;
            deeds += 1;
            open += 1;
            most = Math.max(most, open);
            expect(deeds).toBe(1);
            try {
              await turns(deed);
              deeds -= 1;
              if (fault === 'in the deed') throw new Error(`deed ${n}`);
              deedIsDone();
              await turns(keeping);
              if (fault === 'in keeping') throw new Error(`keeping ${n}`);
              return n;
            } finally {
              open -= 1;
            }
          },
          (n) => {
            collected.push(n);
          },
          () => over,
        ).then(
          () => 'done',
          (fault: Error) => fault.message,
        );
        expect(open).toBe(0);
        expect(most).toBeLessThanOrEqual(2);
        const asked = pieces.slice(0, endsAt + 1);
        const firstFault = asked.findIndex(({ fault }) => fault !== 'none');
        const isSound = firstFault === -1;
        expect(outcome === 'done').toBe(isSound);
        const kept = isSound ? asked.length : firstFault;
        expect(collected).toEqual(asked.slice(0, kept).map((_, n) => n));
        // Nothing begins behind a fault but what had begun before it was known.
        expect(begun.length).toBeLessThanOrEqual(isSound ? asked.length : firstFault + 2);
      }),
      { numRuns: runs(400) },
    );
  });
});
