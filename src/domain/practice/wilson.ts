/** Standard normal value that 95 % of cases stay within on both sides; published in any table. */
const NORMAL_95 = 1.959963984540054;

/** A share seen in a sample, with the range it is likely to stand for. */
export interface ObservedShare {
  readonly share: number;
  readonly low: number;
  readonly high: number;
}

/**
 * 95 % interval of a share after Wilson (1927): holds for small samples and for none or all of
 * them. Throws RangeError unless `count` is a whole number from 0 to `of`, and `of` is 1 or more.
 */
export function wilsonInterval(count: number, of: number): ObservedShare {
  if (!Number.isInteger(of) || of < 1) throw new RangeError('of must be a whole number above zero');
  if (!Number.isInteger(count) || count < 0 || count > of) {
    throw new RangeError(`count must be a whole number from 0 to ${of}`);
  }
  const share = count / of;
  const square = NORMAL_95 * NORMAL_95;
  const centre = (count + square / 2) / (of + square);
  const reach = (NORMAL_95 / (of + square)) * Math.sqrt((count * (of - count)) / of + square / 4);
  return {
    share,
    low: count === 0 ? 0 : centre - reach,
    high: count === of ? 1 : centre + reach,
  };
}
