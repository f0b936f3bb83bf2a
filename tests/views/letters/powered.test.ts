import { describe, expect, it } from 'vitest';
import { renderLetter } from '../../../src/views/letters/render.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';

describe('a powered top', () => {
  const foldedText = (...powered: boolean[]) => {
    const model = sampleModel('folded-over', 'en');
    const [car] = model.cars;
    if (car === undefined) throw new Error('no car');
    const cars = powered.map((own, i) => ({ ...car, registration: `FK ${i}`, powered: own }));
    return renderLetter('folded-over', { ...model, cars }).text;
  };
  const byHand = 'Raise the top in one go and latch it.';
  const bySwitch = 'A powered top: keep the switch pressed';

  it('is raised by its switch, and one folded by hand as ever', () => {
    expect(foldedText(true)).toContain(bySwitch);
    expect(foldedText(true)).not.toContain(byHand);
    expect(foldedText(false)).toContain(byHand);
    expect(foldedText(false)).not.toContain(bySwitch);
    expect(foldedText(true, false)).toContain(byHand);
    expect(foldedText(true, false)).toContain(bySwitch);
  });

  it('is oiled by its owner without reaching into a half-open frame', () => {
    const model = sampleModel('lubrication-due', 'en');
    const alone = { ...model, organisation: { ...model.organisation, kind: 'private' as const } };
    const text = (powered: boolean) =>
      renderLetter('lubrication-due', {
        ...alone,
        cars: alone.cars.map((car) => ({ ...car, powered })),
      }).text;
    expect(text(true)).toContain('never reach into a frame that stands half way');
    expect(text(true)).not.toContain('Half open the top with a second person');
    expect(text(false)).toContain('Half open the top with a second person');
    for (const own of [text(true), text(false)]) {
      expect(own).toContain('Where plastic washers sit: light machine oil, drop by drop');
      expect(own).toContain('That is common practice');
    }
  });
});

describe('a rest', () => {
  it('is said to be assumed latched and dry, since nobody logs it', () => {
    for (const kind of ['folded-nearing', 'folded-over', 'folded-still'] as const) {
      const { text } = renderLetter(kind, sampleModel(kind, 'en'));
      expect(text).toContain('The log does not say whether it was latched and dry');
    }
  });
});
