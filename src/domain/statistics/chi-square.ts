const SERIES_LIMIT = 2;
const MAX_TERMS = 500;

/**
 * Complementary error function for z >= 0, to about 14 digits: below 2 the series
 * erf z = 2/sqrt(pi) e^(-z^2) sum 2^n z^(2n+1) / (1*3*...*(2n+1)), above it the continued fraction
 * of erfc. Source: Abramowitz & Stegun 7.1.6 and 7.1.14 (DLMF 7.6.2 and 7.9.1); from memory,
 * checked against jstat.
 */
export function erfc(z: number): number {
  if (!(z >= 0)) throw new RangeError('erfc: z must be zero or more');
  return z < SERIES_LIMIT ? 1 - erfSeries(z) : erfcFraction(z);
}

/** Chance that a chi-square variable with one degree of freedom exceeds `x`. */
export function chiSquare1Survival(x: number): number {
  return erfc(Math.sqrt(x / 2));
}

/**
 * The value that a chi-square variable with one degree of freedom stays under with the given
 * confidence (3.8415 for 0.95).
 */
export function chiSquare1Quantile(confidence: number): number {
  if (!(confidence > 0 && confidence < 1)) {
    throw new RangeError('confidence must lie between 0 and 1');
  }
  let low = 0;
  let high = 1;
  while (chiSquare1Survival(high) > 1 - confidence) high *= 2;
  for (let step = 0; step < 100; step += 1) {
    const middle = (low + high) / 2;
    if (chiSquare1Survival(middle) > 1 - confidence) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function erfSeries(z: number): number {
  let term = z;
  let sum = z;
  for (let n = 1; n < MAX_TERMS && term > sum * Number.EPSILON; n += 1) {
    term *= (2 * z * z) / (2 * n + 1);
    sum += term;
  }
  return (2 / Math.sqrt(Math.PI)) * Math.exp(-z * z) * sum;
}

/** e^(-z^2)/sqrt(pi) * 1/(z + (1/2)/(z + 1/(z + (3/2)/(z + ...)))), worked from the far end. */
function erfcFraction(z: number): number {
  let tail = z;
  for (let n = 120; n >= 1; n -= 1) tail = z + n / 2 / tail;
  return Math.exp(-z * z) / Math.sqrt(Math.PI) / tail;
}
