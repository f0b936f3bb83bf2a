/**
 * Chances of the causes after one more answer (Bayes), causes taken as excluding each other and
 * answers as independent given the cause. `chanceOfAnswer` is the likelihood of the answer under
 * each cause, in the same order. Sums to 1; stays as it was if no cause could give the answer.
 */
export function updated(chances: readonly number[], chanceOfAnswer: readonly number[]): number[] {
  const joint = chances.map((chance, i) => chance * (chanceOfAnswer[i] ?? 0));
  const total = sum(joint);
  return total > 0 ? joint.map((part) => part / total) : [...chances];
}

/** Entropy in bits of a distribution (Shannon 1948). */
export function entropyBits(chances: readonly number[]): number {
  return sum(chances.map((p) => (p > 0 ? -p * Math.log2(p) : 0)));
}

/**
 * Expected information gain in bits of a yes/no check: the entropy of the causes now, less the
 * entropy that is to be expected once the answer is known. Never negative.
 */
export function informationGainBits(
  chances: readonly number[],
  chanceOfYes: readonly number[],
): number {
  const chanceOfNo = chanceOfYes.map((p) => 1 - p);
  const yes = sum(chances.map((p, i) => p * (chanceOfYes[i] ?? 0)));
  const expected =
    yes * entropyBits(updated(chances, chanceOfYes)) +
    (1 - yes) * entropyBits(updated(chances, chanceOfNo));
  return Math.max(0, entropyBits(chances) - expected);
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, n) => total + n, 0);
}
