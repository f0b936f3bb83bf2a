import * as listed from 'dinero.js/currencies';

/** A currency by its code and the number of digits behind the point of its amounts (ISO 4217). */
export interface Currency {
  readonly code: string;
  readonly digits: number;
}

// Two currencies of the list count their smaller coin in fifths; their amounts have no point to set.
const CURRENCIES: ReadonlyMap<string, Currency> = new Map(
  Object.values(listed).flatMap(({ code, base, exponent }) =>
    base === 10 ? [[code, { code, digits: exponent }] as const] : [],
  ),
);

/** The codes of all currencies that amounts can be kept in, in the order of the alphabet. */
export const CURRENCY_CODES: readonly string[] = [...CURRENCIES.keys()].sort();

export function isCurrency(code: string): boolean {
  return CURRENCIES.has(code);
}

/** The currency of a code; throws RangeError for one that is not on the list. */
export function currencyOf(code: string): Currency {
  const currency = CURRENCIES.get(code);
  if (currency === undefined) throw new RangeError(`${code} is no currency of ISO 4217`);
  return currency;
}
