import type { Currency } from './currency.ts';

/** Bounds inside which all sums stay exact and readable. */
export const LARGEST_PRICE = 1_000_000_000;

/** A rate of tax in thousandths of a per cent: 19 % is 19,000, 8.875 % is 8,875. */
export type TaxRate = number;

export const LARGEST_TAX_RATE: TaxRate = 100_000;

/**
 * What people typed as a decimal, with a comma or a point, as a whole number of its smallest unit; null
 * where it is none or has more digits behind the point than there are.
 */
export function wholeUnits(text: string, digits: number): number | null {
  const [, whole, part = ''] = /^(\d{1,12})(?:[.,](\d+))?$/.exec(text.trim()) ?? [];
  if (whole === undefined || part.length > digits) return null;
  const units = Number(`${whole}${part.padEnd(digits, '0')}`);
  return Number.isSafeInteger(units) ? units : null;
}

/** A whole number of the smallest unit as people type it: 8550 of two digits is "85.50". */
export function decimalOf(units: number, digits: number): string {
  const all = String(units).padStart(digits + 1, '0');
  return digits === 0 ? all : `${all.slice(0, -digits)}.${all.slice(-digits)}`;
}

/** The same without zeros that say nothing: 150 of two digits is "1.5". */
export function shortDecimal(units: number, digits: number): string {
  const text = decimalOf(units, digits);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** An amount as the readers of a locale write it, with all digits of its currency. */
export function moneyWords(locale: string, { code, digits }: Currency, units: number): string {
  const format = new Intl.NumberFormat(locale, {
    style: 'currency',
    currency: code,
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
  });
  return format.format(decimalOf(units, digits) as `${number}`);
}
