/**
 * The rising sequence nearest to `values` by weighted squares: neighbours that fall are pooled to
 * their weighted mean (Ayer et al. 1955). Weights must be above zero.
 */
export function monotone(values: readonly number[], weights: readonly number[]): number[] {
  const pools: { mean: number; weight: number; count: number }[] = [];
  values.forEach((value, i) => {
    let pool = { mean: value, weight: weights[i]!, count: 1 };
    for (let last = pools.at(-1); last !== undefined && last.mean >= pool.mean;) {
      const weight = last.weight + pool.weight;
      const mean = (last.mean * last.weight + pool.mean * pool.weight) / weight;
      pool = { mean, weight, count: last.count + pool.count };
      pools.pop();
      last = pools.at(-1);
    }
    pools.push(pool);
  });
  return pools.flatMap(({ mean, count }) => Array.from({ length: count }, () => mean));
}
