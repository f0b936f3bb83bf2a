import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FAULT_FIGURES } from '../../../src/domain/faults/fault-figures.ts';
import { FAULTS } from '../../../src/domain/faults/fault-rows.ts';
import {
  doubtBits,
  evidenceOf,
  foresee,
  judge,
  likelihood,
  networkOf,
  NO_FINDINGS,
  provenBy,
} from '../../../src/domain/faults/judgement.ts';
import { askedIn, nextCheck } from '../../../src/domain/faults/next-check.ts';
import { SIGNS } from '../../../src/domain/faults/signs.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import { eliminationOf } from '../../../src/domain/statistics/noisy-or.ts';
import { answer, ticks } from './answers.ts';
import { runs } from '../../setup/runs.ts';

const VALUES = valuesOf(FAULT_FIGURES);
const NET = networkOf({ own: NO_FINDINGS, top: {}, values: VALUES });
const ASKING = { skipped: new Set<string>(), mustStay: false, gently: new Set<string>() };
const LOOKS = SIGNS.filter(({ how }) => how === undefined).map(({ id }) => id);

/** The definition itself over every set of these faults, the others being absent. */
function bySubsets(
  among: readonly (typeof FAULTS)[number][],
  seen: readonly string[],
  not: readonly string[],
) {
  let whole = 0;
  const withFault = among.map(() => 0);
  for (let set = 0; set < 2 ** among.length; set += 1) {
    const there = among.filter((_, at) => ((set >> at) & 1) === 1);
    const absent = (sign: string) =>
      there.reduce((p, fault) => p * (1 - likelihood(fault, sign, VALUES)), 1 - VALUES.unrelated);
    let weight =
      VALUES.usualShare ** there.length * (1 - VALUES.usualShare) ** (among.length - there.length);
    for (const sign of seen) {
      const proven = provenBy(sign);
      weight *= proven === undefined ? 1 - absent(sign) : Number(there.includes(proven));
    }
    for (const sign of not) {
      const proven = provenBy(sign);
      weight *= proven === undefined ? absent(sign) : Number(!there.includes(proven));
    }
    whole += weight;
    there.forEach((fault) => (withFault[among.indexOf(fault)]! += weight));
  }
  return withFault.map((weight) => weight / whole);
}

describe('the chance of every fault', () => {
  // The faults that some of these signs can tell of; the chance of the others is a product by itself.
  const few = fc
    .uniqueArray(fc.constantFrom(...SIGNS.map(({ id }) => id)), { minLength: 1, maxLength: 5 })
    .map((ids) => ({ seen: ids.slice(0, 3), not: ids.slice(3) }));

  test('is that of summing over all subsets of the faults that the signs tell of', () => {
    fc.assert(
      fc.property(few, ({ seen, not }) => {
        const among = FAULTS.filter((fault) =>
          [...seen, ...not].some(
            (sign) => provenBy(sign) === fault || likelihood(fault, sign, VALUES) > 0,
          ),
        );
        fc.pre(among.length <= 16);
        const exact = bySubsets(among, seen, not);
        const { judged } = judge({ seen, ruledOut: not }, NET);
        among.forEach((fault, at) => {
          const found = judged.find((one) => one.fault === fault)?.chance ?? -1;
          expect(found).toBeCloseTo(exact[at] ?? -2, 10);
        });
        for (const { chance } of judged.filter(({ fault }) => !among.includes(fault))) {
          expect(chance).toBeCloseTo(VALUES.usualShare, 12);
        }
      }),
      { numRuns: runs(60) },
    );
  });

  // Numbers kept are what the answer costs: with 2^width of them at every step there were 400,000.
  test('keeps few numbers, all looks seen together or any of them, with proofs or without', () => {
    const numbers = (ticked: { seen: string[]; ruledOut?: string[] }) =>
      eliminationOf(NET, evidenceOf(ticked)).numbers;
    expect(numbers({ seen: LOOKS })).toBeLessThanOrEqual(21_000);
    fc.assert(
      fc.property(fc.subarray([...SIGNS]), fc.subarray(LOOKS), (proofs, seen) => {
        const ruledOut = proofs.flatMap(({ id, how }) => (how === undefined ? [] : [id]));
        expect(numbers({ seen, ruledOut })).toBeLessThanOrEqual(100_000);
      }),
      { numRuns: runs(300) },
    );
  });
});

describe('doubt', () => {
  // By hand from Shannon's definition: H(0.1) = 0.1 log2 10 + 0.9 log2 (10/9) = 0.468996.
  test.each([
    [0, 0],
    [1, 0],
    [0.5, 1],
    [0.1, 0.468996],
    [0.25, 0.811278],
  ])('about a chance of %d is %d bits', (chance, bits) => {
    expect(doubtBits(chance)).toBeCloseTo(bits, 6);
  });
});

describe('the next check', () => {
  test('takes away most doubt a minute of all, found by giving both answers to each', () => {
    fc.assert(
      fc.property(ticks, ({ seen, ruledOut }) => {
        const judgement = judge({ seen, ruledOut }, NET);
        const inQuestion = judgement.judged.filter(
          ({ fault, chance }) =>
            chance >= VALUES.listedFrom &&
            chance < 1 &&
            seen.some((id) => likelihood(fault, id, VALUES) > 0),
        );
        fc.pre(inQuestion.length <= 12);
        const doubt = (tried: ReturnType<typeof judge>) =>
          inQuestion.reduce(
            (sum, { fault }) =>
              sum + doubtBits(tried.judged.find((one) => one.fault === fault)?.chance ?? 0),
            0,
          );
        const weighed = SIGNS.filter(({ id }) => !seen.includes(id) && !ruledOut.includes(id)).map(
          ({ id, effort }) => {
            const { yes } = foresee(id, judgement);
            const left =
              yes * doubt(judge({ seen: [...seen, id], ruledOut }, NET)) +
              (1 - yes) * doubt(judge({ seen, ruledOut: [...ruledOut, id] }, NET));
            return { gain: doubt(judgement) - left, minutes: VALUES[`${effort}Minutes`] };
          },
        );
        const worth = weighed.filter(({ gain }) => gain >= VALUES.leastGainBits);
        const best = Math.max(0, ...worth.map(({ gain, minutes }) => gain / minutes));
        const found = nextCheck(judgement, ASKING, VALUES);
        expect((found?.gainBits ?? 0) / (found?.minutes ?? 1)).toBeCloseTo(best, 8);
      }),
      { numRuns: runs(40) },
    );
  });

  test('concerns a cause in question, whatever was ticked', () => {
    const silly = SIGNS.filter(({ id }) => {
      const { nextCheck: next, causes } = answer([id]);
      if (next === null) return false;
      const told = FAULTS.filter(
        (fault) => fault === provenBy(next.id) || likelihood(fault, next.id, VALUES) > 0,
      ).map((fault) => fault.id);
      const open = causes.filter(({ standing }) => standing !== 'proven').map((cause) => cause.id);
      const { yes, no } = next.separates;
      return !told.some((fault) => open.includes(fault)) || yes.length + no.length === 0;
    });
    expect(silly).toEqual([]);
  });

  test('is the cheaper of two that tell as much, and none where nothing is in doubt', () => {
    expect(answer(['side-edge-loose']).nextCheck?.id).toBe('edge-arched-over-side-glass');
    expect(answer(['white-grit-on-edges', 'finger-wipe-gritty']).nextCheck).toBeNull();
  });

  test('passes over what cannot be looked for now', () => {
    const first = answer(['dry-crumbs']).nextCheck?.id ?? '';
    const then = answer(['dry-crumbs'], [], { skipped: [first] }).nextCheck;
    expect(then?.id).not.toBe(first);
  });
});

test('what often comes with a proven fault is worth a look, until something is said of it', () => {
  const ids = (one: ReturnType<typeof answer>) => one.alsoLook.map(({ id }) => id);
  expect(ids(answer(['washer-count-short']))).toContain('play-differs-by-direction');
  expect(ids(answer(['washer-count-short'], ['play-differs-by-direction']))).not.toContain(
    'play-differs-by-direction',
  );
});

test('asks for a sign in words that stand whether it is told as a sentence or as a thing', () => {
  const words = SIGNS.filter(({ how }) => how === undefined).map(askedIn);
  expect(words).toContain('look for this sign: dry fibrous crumbs on the rear shelf or seat');
  expect(words).toContain('ask the owner about this sign: the side edge flutters at speed');
  for (const asked of words) expect(asked).not.toContain(' whether ');
});
