import * as fc from 'fast-check';
import { inferences } from 'bayesjs';
import { describe, expect, test } from 'vitest';
import {
  eliminationOf,
  type NoisyEvidence,
  type NoisyOr,
  noisyOrPosterior,
} from '../../../src/domain/statistics/noisy-or.ts';
import { runs } from '../../setup/runs.ts';

const chance = fc.double({ min: 0.001, max: 0.999, noNaN: true });

/** Networks with up to nine causes and eight signs, and something seen, absent and settled in each. */
const cases = fc
  .record({ causes: fc.integer({ min: 1, max: 9 }), signs: fc.integer({ min: 1, max: 8 }) })
  .chain(({ causes, signs }) =>
    fc.record({
      priors: fc.array(fc.oneof(chance, fc.constant(0.02)), {
        minLength: causes,
        maxLength: causes,
      }),
      leaks: fc.array(chance, { minLength: signs, maxLength: signs }),
      links: fc.uniqueArray(
        fc.record({
          cause: fc.nat(causes - 1),
          sign: fc.nat(signs - 1),
          chance: fc.oneof(chance, fc.constantFrom(0, 1)),
        }),
        { maxLength: 30, selector: ({ cause, sign }) => `${cause} ${sign}` },
      ),
      signWords: fc.array(fc.constantFrom('seen', 'absent', 'open'), {
        minLength: signs,
        maxLength: signs,
      }),
      causeWords: fc.array(fc.constantFrom('open', 'open', 'open', 'certain', 'out'), {
        minLength: causes,
        maxLength: causes,
      }),
    }),
  );

type Case = typeof cases extends fc.Arbitrary<infer C> ? C : never;

function evidenceOf({ signWords, causeWords }: Case): NoisyEvidence {
  const which = (words: readonly string[], word: string) =>
    new Set(words.flatMap((one, i) => (one === word ? [i] : [])));
  return {
    seen: which(signWords, 'seen'),
    absent: which(signWords, 'absent'),
    certain: which(causeWords, 'certain'),
    out: which(causeWords, 'out'),
  };
}

/** The definition itself, over every set of causes. */
function byDefinition({ priors, leaks, links }: NoisyOr, evidence: NoisyEvidence) {
  let whole = 0;
  const byItself = leaks.map(() => 0);
  const withCause = priors.map(() => 0);
  for (let set = 0; set < 2 ** priors.length; set += 1) {
    const has = (cause: number) => ((set >> cause) & 1) === 1;
    let weight = 1;
    priors.forEach((prior, cause) => {
      if (evidence.certain.has(cause)) weight *= has(cause) ? 1 : 0;
      else if (evidence.out.has(cause)) weight *= has(cause) ? 0 : 1;
      else weight *= has(cause) ? prior : 1 - prior;
    });
    leaks.forEach((leak, sign) => {
      const absent = links
        .filter((link) => link.sign === sign && has(link.cause))
        .reduce((product, link) => product * (1 - link.chance), 1 - leak);
      if (evidence.seen.has(sign)) weight *= 1 - absent;
      if (evidence.absent.has(sign)) weight *= absent;
    });
    whole += weight;
    leaks.forEach((leak, sign) => {
      const unbrought = links
        .filter((link) => link.sign === sign && has(link.cause))
        .reduce((product, link) => product * (1 - link.chance), 1);
      byItself[sign]! += (weight * leak * unbrought) / (1 - (1 - leak) * unbrought);
    });
    withCause.forEach((_, cause) => {
      if (has(cause)) withCause[cause]! += weight;
    });
  }
  return {
    whole,
    chances: withCause.map((weight) => weight / whole),
    byItself: byItself.map((weight) => weight / whole),
  };
}

describe('the posterior of independent causes', () => {
  test('is what summing over every set of causes gives', () => {
    fc.assert(
      fc.property(cases, (one) => {
        const evidence = evidenceOf(one);
        const exact = byDefinition(one, evidence);
        fc.pre(exact.whole > 1e-200);
        const found = noisyOrPosterior(one, evidence);
        expect(found.evidence / exact.whole).toBeCloseTo(1, 9);
        for (const [sign, p] of found.byItself) {
          expect(p).toBeCloseTo(exact.byItself[sign] ?? -1, 10);
        }
        found.chances.forEach((p, i) => expect(p).toBeCloseTo(exact.chances[i] ?? -1, 10));
      }),
      { numRuns: runs(400) },
    );
  });

  test('is what a general package for Bayesian networks gives (bayesjs, by variable elimination)', () => {
    fc.assert(
      fc.property(cases, (one) => {
        const evidence = evidenceOf({ ...one, causeWords: [] });
        fc.pre(byDefinition(one, evidence).whole > 1e-9);
        const { chances } = noisyOrPosterior(one, evidence);
        const network = networkOf(one);
        const given = Object.fromEntries([
          ...[...evidence.seen].map((sign) => [`S${sign}`, 'T']),
          ...[...evidence.absent].map((sign) => [`S${sign}`, 'F']),
        ]) as Record<string, string>;
        chances.forEach((p, cause) => {
          const theirs = inferences.variableElimination.infer(
            network,
            { [`C${cause}`]: 'T' },
            given,
          );
          expect(p).toBeCloseTo(theirs, 6);
        });
      }),
      { numRuns: runs(20) },
    );
  });

  test('of a textbook case: two causes of one sign explain each other away', () => {
    // By hand: P(seen) = 1 - 0.99 (1 - 0.1 x 0.8)(1 - 0.2 x 0.5) = 0.18028;
    // P(A, seen) = 0.1 (1 - 0.99 x 0.2 x 0.9) = 0.08218.
    const net = {
      priors: [0.1, 0.2],
      leaks: [0.01],
      links: [
        { cause: 0, sign: 0, chance: 0.8 },
        { cause: 1, sign: 0, chance: 0.5 },
      ],
    };
    const nothing = new Set<number>();
    const seen = { seen: new Set([0]), absent: nothing, certain: nothing, out: nothing };
    const { chances, evidence } = noisyOrPosterior(net, seen);
    expect(evidence).toBeCloseTo(0.18028, 10);
    expect(chances[0]).toBeCloseTo(0.08218 / 0.18028, 10);
    const settled = noisyOrPosterior(net, { ...seen, certain: new Set([1]) });
    expect(settled.chances[0]).toBeLessThan(chances[0] ?? 0);
    expect(settled.chances[1]).toBe(1);
  });

  test('takes signs in a row one after the other, with two open at once', () => {
    const links = Array.from({ length: 40 }, (_, cause) => [
      { cause, sign: cause, chance: 0.9 },
      { cause, sign: cause + 1, chance: 0.5 },
    ]).flat();
    const net = { priors: links.map(() => 0.1).slice(0, 40), leaks: Array(41).fill(0.01), links };
    const evidence = {
      seen: new Set(Array.from({ length: 41 }, (_, i) => i)),
      certain: new Set<number>(),
      out: new Set<number>(),
    };
    expect(eliminationOf(net, evidence).width).toBeLessThanOrEqual(2);
  });
});

/** The same network as tables of conditional chances. */
function networkOf({ priors, leaks, links }: NoisyOr) {
  const nodes: Record<string, unknown> = {};
  priors.forEach((prior, cause) => {
    nodes[`C${cause}`] = {
      id: `C${cause}`,
      states: ['T', 'F'],
      parents: [],
      cpt: { T: prior, F: 1 - prior },
    };
  });
  leaks.forEach((leak, sign) => {
    const own = links.filter((link) => link.sign === sign);
    const rows = Array.from({ length: 2 ** own.length }, (_, set) => {
      const absent = own.reduce(
        (product, { chance: p }, i) => ((set >> i) & 1 ? product * (1 - p) : product),
        1 - leak,
      );
      const when = Object.fromEntries(
        own.map(({ cause }, i) => [`C${cause}`, (set >> i) & 1 ? 'T' : 'F']),
      );
      // oxlint-disable-next-line unicorn/no-thenable -- a row of a table, named by the package
      return { when, then: { T: 1 - absent, F: absent } };
    });
    nodes[`S${sign}`] = {
      id: `S${sign}`,
      states: ['T', 'F'],
      parents: own.map(({ cause }) => `C${cause}`),
      cpt: own.length === 0 ? { T: leak, F: 1 - leak } : rows,
    };
  });
  return nodes as never;
}
