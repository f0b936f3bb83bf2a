import { needDistribution } from '../src/domain/parts/need-distribution.ts';
import { partsNeeded } from '../src/domain/parts/poisson-binomial.ts';
import type { Measured } from './measure.ts';

const VISITS = 5_000;
const JOINTS = 4;
const ROUNDS = 5;

/**
 * The quantity of one part over 5,000 visits, held against the barest sum that gives the same
 * answer: the textbook recurrence over one array of doubles, with no checks, and with no tail left
 * out. `parts-one-piece` has one piece a visit; `parts-by-visit` has the washers of four joints on
 * each visit, which come or stay away together, so the bare sum adds visit by visit too. Under 1 is
 * faster than bare: tails that cannot matter are left out.
 */
export async function run(): Promise<Measured[]> {
  const chances = Array.from({ length: VISITS }, (_, i) => 0.02 + 0.4 * ((i * 37) % 100) * 0.01);
  const frames = chances.map((chance) => ({
    comes: 0.9,
    chances: Array.from({ length: JOINTS }, (_, joint) => chance / (joint + 1)),
  }));
  const onePiece = await compare(
    () => partsNeeded({ chances, service: 0.95 }).quantity,
    () => bareQuantity(bareSingles(chances)),
  );
  const byVisit = await compare(
    () => bareQuantity(needDistribution(frames)),
    () => bareQuantity(bareSum(frames.map(bareVisit))),
  );
  return [
    { name: 'parts-one-piece', ratio: onePiece, goal: '<= 1.2' },
    { name: 'parts-by-visit', ratio: byVisit, goal: '<= 1.2' },
  ];
}

function bareVisit(visit: { comes: number; chances: number[] }): number[] {
  const own = bareSingles(visit.chances);
  return Array.from(own, (chance, k) => chance * visit.comes + (k === 0 ? 1 - visit.comes : 0));
}

function bareSingles(chances: readonly number[]): Float64Array {
  const total = new Float64Array(chances.length + 1);
  total[0] = 1;
  for (let i = 0; i < chances.length; i += 1) {
    const chance = chances[i]!;
    for (let k = i + 1; k > 0; k -= 1) total[k] = total[k]! * (1 - chance) + total[k - 1]! * chance;
    total[0] = (total[0] ?? 0) * (1 - chance);
  }
  return total;
}

function bareSum(kernels: readonly number[][]): Float64Array {
  const most = kernels.reduce((sum, kernel) => sum + kernel.length - 1, 0);
  const total = new Float64Array(most + 1);
  total[0] = 1;
  let high = 0;
  for (const kernel of kernels) {
    high += kernel.length - 1;
    for (let k = high; k >= 0; k -= 1) {
      let chance = 0;
      for (let j = 0; j < kernel.length && j <= k; j += 1) chance += kernel[j]! * total[k - j]!;
      total[k] = chance;
    }
  }
  return total;
}

function bareQuantity(distribution: Float64Array): number {
  let met = 0;
  for (let k = 0; k < distribution.length; k += 1) {
    met += distribution[k]!;
    if (met >= 0.95) return k;
  }
  return distribution.length - 1;
}

/** Median of ours over median of bare, taken turn by turn; both must give one quantity. */
async function compare(ours: () => number, bare: () => number): Promise<number> {
  if (ours() !== bare()) throw new Error('parts: the bare sum gives another quantity');
  const mine: number[] = [];
  const theirs: number[] = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    mine.push(millisecondsOf(ours));
    theirs.push(millisecondsOf(bare));
    await new Promise((resolve) => {
      setImmediate(resolve);
    });
  }
  return middle(mine) / middle(theirs);
}

function millisecondsOf(work: () => number): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}

function middle(values: number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;
}
