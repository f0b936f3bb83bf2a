/** Points with what both rules of a trend need of them: sorted once, and each pair looked at once. */
export interface Points {
  readonly xs: readonly number[];
  readonly ys: readonly number[];
  readonly xMedian: number;
  readonly yMedian: number;
  /** How many points share each x, from the smallest x up; all ones where none repeats. */
  readonly xTies: readonly number[];
  readonly yTies: readonly number[];
  /** Of all pairs at different x, smallest first. */
  readonly slopes: readonly number[];
  /** Rising pairs less falling pairs; pairs at the same x or of the same y count for nothing. */
  readonly score: number;
}

/** A series or a set of slopes up to here is of the usual size, and what is done to it is made for that. */
const MOST_USUAL = 64;

/** Takes as many x as y, all finite, at least one. */
export function pointsOf(xs: readonly number[], ys: readonly number[]): Points {
  const sortedX = ascending([...xs]);
  const sortedY = ascending([...ys]);
  const slopes: number[] = [];
  let score = 0;
  for (let i = 0; i < xs.length; i += 1) {
    const x = xs[i]!;
    const y = ys[i]!;
    for (let j = i + 1; j < xs.length; j += 1) {
      const dx = xs[j]! - x;
      if (dx === 0) continue;
      const dy = ys[j]! - y;
      score += Math.sign(dx) * Math.sign(dy);
      // Adding zero turns a negative zero, which would be printed, into zero.
      slopes.push(dy / dx + 0);
    }
  }
  return {
    xs,
    ys,
    xMedian: medianOfSorted(sortedX),
    yMedian: medianOfSorted(sortedY),
    xTies: tieSizes(sortedX),
    yTies: tieSizes(sortedY),
    slopes: ascending(slopes),
    score: score + 0,
  };
}

/**
 * Sorts in place. A pivot has some ten readings and so some 45 slopes: for so few, sorting by
 * insertion takes a fraction of the time of the built-in ways, which call back or copy.
 */
export function ascending(numbers: number[]): number[] {
  if (numbers.length > MOST_USUAL) return numbers.sort((a, b) => a - b);
  for (let i = 1; i < numbers.length; i += 1) {
    const value = numbers[i]!;
    let j = i - 1;
    for (; j >= 0 && numbers[j]! > value; j -= 1) numbers[j + 1] = numbers[j]!;
    numbers[j + 1] = value;
  }
  return numbers;
}

/** The middle number, or the mean of the middle two. Throws RangeError on an empty list. */
export function medianOfSorted(sorted: readonly number[]): number {
  const middle = sorted.length >> 1;
  const upper = sorted[middle];
  if (upper === undefined) throw new RangeError('median of no numbers');
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? upper) + upper) / 2;
}

function tieSizes(sorted: readonly number[]): readonly number[] {
  if (!sorted.some((value, i) => value === sorted[i + 1])) return noTies(sorted.length);
  const sizes: number[] = [];
  let size = 0;
  for (let i = 0; i < sorted.length; i += 1) {
    size += 1;
    if (sorted[i] === sorted[i + 1]) continue;
    sizes.push(size);
    size = 0;
  }
  return sizes;
}

const shortUntied: (readonly number[])[] = [];

/** The sizes of ties among that many values of which none repeats: all ones. */
export function noTies(count: number): readonly number[] {
  if (count > MOST_USUAL) return Array.from({ length: count }, () => 1);
  return (shortUntied[count] ??= Array.from({ length: count }, () => 1));
}

/** 18 times the variance of Kendall's S over n readings; what each tie of n of them takes off it. */
export function spreadTerm(n: number): number {
  return n * (n - 1) * (2 * n + 5);
}
