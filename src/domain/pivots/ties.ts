/** How many numbers share each value, from the smallest value up; all ones where none repeats. */
export function tieSizes(numbers: readonly number[]): number[] {
  const sorted = Float64Array.from(numbers).sort();
  const sizes: number[] = [];
  let last: number | undefined;
  for (const value of sorted) {
    // Compared with ===, so that the two zeros are one value.
    if (value === last) sizes[sizes.length - 1] = (sizes.at(-1) ?? 0) + 1;
    else sizes.push(1);
    last = value;
  }
  return sizes;
}

/** 18 times the variance of Kendall's S over n readings; what each tie of n of them takes off it. */
export function spreadTerm(n: number): number {
  return n * (n - 1) * (2 * n + 5);
}
