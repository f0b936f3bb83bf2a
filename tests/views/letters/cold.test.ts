import { describe, expect, it } from 'vitest';
import { renderLetter } from '../../../src/views/letters/render.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';

describe('a folded top that should not be moved in the cold', () => {
  const textOf = (language: string, ...floors: (number | null)[]) => {
    const model = sampleModel('folded-still', language);
    const [car] = model.cars;
    if (car === undefined) throw new Error('no car');
    const cars = floors.map((celsius, i) => ({
      ...car,
      registration: `FK ${i}`,
      floor: celsius === null ? null : { celsius, byHandbook: false },
    }));
    return renderLetter('folded-still', { ...model, cars }).text;
  };

  it.each([
    ['en', 'Colder than 10 °C where it stands?', 'Raise the top in one go'],
    ['de', 'kälter als 10 °C?', 'in einem Zug'],
  ])('is told to be warmed before it is told to be raised (%s)', (language, cold, raise) => {
    const text = textOf(language, -5, 10, null);
    expect(text.indexOf(cold)).toBeGreaterThan(0);
    expect(text.indexOf(raise)).toBeGreaterThan(text.indexOf(cold));
  });

  it('and of one without such a limit nothing is said', () => {
    expect(textOf('en', null)).not.toContain('Colder than');
  });
});
