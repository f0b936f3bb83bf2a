import { describe, expect, it } from 'vitest';
import {
  corrosion,
  corrosionRate,
  STEEL_FIGURES,
  steelClass,
} from '../../../src/domain/lubrication/corrosion.ts';

describe('corrosivity classes of carbon steel', () => {
  // ISO 9223:2012 Table 2, µm/a (published, secondary copy); a bound belongs to the class below.
  it.each([
    [0, 'C1'],
    [1.3, 'C1'],
    [1.301, 'C2'],
    [25, 'C2'],
    [25.01, 'C3'],
    [50, 'C3'],
    [50.01, 'C4'],
    [80, 'C4'],
    [80.01, 'C5'],
    [200, 'C5'],
    [200.01, 'CX'],
    [700, 'CX'],
    [700.01, null],
    [Number.NaN, null],
  ])('%d µm/a is %s', (rate, name) => {
    expect(steelClass(rate)).toBe(name);
  });

  // The bounds of the same table; a rate at 0 would ask for oil never. The middle is a shop rule.
  it.each([
    ['C1', 0.1, 1, 1.3],
    ['C2', 1.3, 13, 25],
    ['C3', 25, 37.5, 50],
    ['C4', 50, 65, 80],
    ['C5', 80, 140, 200],
    ['CX', 200, 450, 700],
  ] as const)('%s may be set from %d, stands at %d, ends at %d µm/a', (name, from, middle, to) => {
    const { value, min, max } = STEEL_FIGURES[`rate${name}`];
    expect([min, value, max]).toEqual([from, middle, to]);
  });
});

describe('dose-response function of ISO 9223:2012 for carbon steel', () => {
  // Computed from the formula as published in a secondary copy: these rows check the formula.
  it.each([
    [10, 75, 10, 5, 31.1714, 'C3'],
    [10, 80, 5, 3, 24.4584, 'C2'],
    [8, 80, 2, 3, 13.2028, 'C2'],
    [20, 80, 5, 300, 121.0392, 'C5'],
    [-5, 70, 5, 1, 2.5883, 'C2'],
    [28, 85, 1, 3, 13.8754, 'C2'],
  ])('%d °C, %d %%, %d, %d mg/(m²·d): %d µm/a', (t, rh, so2, chloride, rate, name) => {
    const climate = { temperatureC: t, humidityPct: rh, so2, chloride };
    expect(corrosionRate(climate)).toBeCloseTo(rate, 4);
    expect(corrosion(climate).class).toBe(name);
  });

  it('adds the two terms printed beside them (computed)', () => {
    const inland = { temperatureC: 10, humidityPct: 75, so2: 10, chloride: 0 };
    expect(corrosionRate(inland)).toBeCloseTo(26.2673, 4);
    expect(corrosionRate({ ...inland, so2: 0, chloride: 5 })).toBeCloseTo(4.9041, 4);
  });

  it('is steady at 10 °C, where its slope turns', () => {
    const [at9, at10, justOver, at11] = [9, 10, 10 + 1e-7, 11].map((temperatureC) =>
      corrosionRate({ temperatureC, humidityPct: 75, so2: 10, chloride: 0 }),
    );
    expect(justOver).toBeCloseTo(at10 ?? 0, 5);
    expect(at9).toBeLessThan(at10 ?? 0);
    expect(at11).toBeLessThan(at10 ?? 0);
  });
});
