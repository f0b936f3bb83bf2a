import { dinero, toDecimal } from 'dinero.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  decimalOf,
  LARGEST_PRICE,
  moneyWords,
  shortDecimal,
  wholeUnits,
} from '../../../src/domain/money/amount.ts';
import { CURRENCY_CODES, currencyOf, isCurrency } from '../../../src/domain/money/currency.ts';

const price = fc.integer({ min: 0, max: LARGEST_PRICE });
const EUR = { code: 'EUR', base: 10, exponent: 2 } as const;

describe('what people type', () => {
  it('comes back as it went in', () => {
    fc.assert(
      fc.property(price, fc.integer({ min: 0, max: 4 }), (units, digits) => {
        expect(wholeUnits(decimalOf(units, digits), digits)).toBe(units);
        expect(wholeUnits(decimalOf(units, digits).replace('.', ','), digits)).toBe(units);
        expect(wholeUnits(shortDecimal(units, digits), digits)).toBe(units);
      }),
    );
  });

  it('is refused where it is no amount of the currency', () => {
    for (const text of ['', 'ten', '-1', '1.005', '1e3', '0x10', '1.000,00', '1 000', '.5']) {
      expect([text, wholeUnits(text, 2)]).toEqual([text, null]);
    }
    expect(wholeUnits('85,5', 2)).toBe(8550);
    expect(wholeUnits('85,5', 0)).toBeNull();
    expect(shortDecimal(150, 2)).toBe('1.5');
    expect(shortDecimal(100, 2)).toBe('1');
    expect(shortDecimal(100, 0)).toBe('100');
  });
});

describe('currencies', () => {
  it('have the digits of ISO 4217', () => {
    // The standard's list one: euro and forint 2, yen and krona of Iceland 0, dinar of Kuwait 3.
    const digits = ['EUR', 'GBP', 'HUF', 'JPY', 'ISK', 'KWD'].map(
      (code) => currencyOf(code).digits,
    );
    expect(digits).toEqual([2, 2, 2, 0, 0, 3]);
    expect(CURRENCY_CODES.length).toBeGreaterThan(150);
    expect([isCurrency('EUR'), isCurrency('eur'), isCurrency('XYZ')]).toEqual([true, false, false]);
    expect(() => currencyOf('XYZ')).toThrow(RangeError);
  });

  it('are written as their readers do, every digit kept', () => {
    expect(moneyWords('en-GB', currencyOf('GBP'), 1_234_550)).toBe('£12,345.50');
    expect(moneyWords('de-DE', currencyOf('EUR'), 1_234_550)).toBe('12.345,50\u00a0€');
    expect(moneyWords('en-GB', currencyOf('JPY'), 500)).toBe('JP¥500');
    fc.assert(
      fc.property(price, (units) => {
        const shown = moneyWords('en-GB', currencyOf('EUR'), units).replaceAll(/[^\d.]/g, '');
        expect(shown).toBe(toDecimal(dinero({ amount: units, currency: EUR })));
      }),
    );
  });
});
