import { describe, expect, test } from 'vitest';
import {
  FOLD_FLOOR_FIGURES,
  foldFloor,
  foldFloorOn,
} from '../../../src/domain/advice/fold-floor.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';

describe('the lowest temperature for folding', () => {
  test('is what the handbook of the car says, warm or cold', () => {
    expect(foldFloor({ handbookCelsius: -10, material: 'vinyl', window: 'clear-vinyl' })).toEqual({
      celsius: -10,
      because: 'handbook of the car',
      byHandbook: true,
    });
    expect(foldFloor({ handbookCelsius: 0, material: 'vinyl', window: 'glass' }).celsius).toBe(0);
  });

  // Defaults are shop rules inside the range of published floors, -10 to 5 °C (handbooks and a
  // seller, secondary copies); an aged plastic window is kept warmer.
  test.each([
    ['vinyl', 'glass', undefined, 5],
    ['cloth', 'clear-vinyl', 4, 5],
    ['cloth', 'clear-vinyl', 5, 10],
    ['cloth', 'glass', 30, 0],
    ['cloth', 'glass-bonded', undefined, 0],
  ] as const)('without a handbook: %s with %s of %s years', (material, window, age, celsius) => {
    const floor = foldFloor({ material, window, windowAgeYears: age });
    expect(floor.celsius).toBe(celsius);
    expect(floor.because).toMatch(/^shop rule/);
  });

  test('follows the settings of the shop', () => {
    const values = valuesOf(FOLD_FLOOR_FIGURES, { plastic: 8 });
    expect(foldFloor({ material: 'vinyl', window: 'glass' }, values).celsius).toBe(8);
  });

  test('of a fitted top follows the age of its window, by the own figures of the organisation', () => {
    const own = { ...valuesOf(FOLD_FLOOR_FIGURES), plastic: 8, oldPlasticWindow: 12 };
    const top = {
      material: 'vinyl',
      window: 'clear-vinyl',
      fittedOn: '2020-06-01',
    } as const;
    const on = (day: string) => foldFloorOn(top, null, day, own).celsius;
    expect([on('2020-06-01'), on('2025-05-31'), on('2025-06-02')]).toEqual([8, 8, 12]);
    expect(foldFloorOn(top, 3, '2025-06-02', own)).toMatchObject({
      celsius: 3,
      byHandbook: true,
    });
  });
});
