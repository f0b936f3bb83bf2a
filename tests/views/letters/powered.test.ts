import { ADVICE } from '../../../src/domain/advice/advice-rows.ts';
import { howToMove } from '../../../src/domain/may-move/how-to-move.ts';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
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

describe('a top that is folded by hand', () => {
  // Whatever only a motor has, in both languages.
  const POWER =
    /\b(?:motor|switch|powered|engine|pump|battery|key out)\b|(?<!\p{L})(?:Motor|Antrieb|elektrisch\p{L}*|Schalter|Pumpe|Batterie|Notbetätigung)/iu;
  const NOTES = ADVICE.filter(({ carriedBy, for: meant }) =>
    carriedBy === 'care-note' ? meant.powered !== true : false,
  );
  it.each(LETTER_KINDS)('is told of no motor and no switch (%s)', (kind) => {
    for (const language of ['en', 'de']) {
      for (const organisation of ['shop', 'club', 'private'] as const) {
        const sample = sampleModel(kind, language);
        const house = { ...sample.organisation, kind: organisation };
        const registration = sample.cars[0]?.registration ?? '';
        const reasons = [{ sign: 'stiff' as const, pivot: 'R-MAIN', fault: null }];
        const how = howToMove([], false);
        const moves = ['leave' as const, 'with-care' as const].map((verdict) => ({
          registration,
          verdict,
          reasons,
          how: [...how],
          repairOn: null,
        }));
        for (const spoken of kind === 'must-stay' ? moves.slice(0, 1) : [null, ...moves]) {
          const { text } = renderLetter(kind, {
            ...sample,
            organisation: house,
            moves: spoken === null ? [] : [spoken],
          });
          expect(text.split('\n').filter((line) => POWER.test(line))).toEqual([]);
        }
      }
    }
  });

  it.each(NOTES.map(({ id }) => id))('nor by a care note (%s)', (id) => {
    const row = ADVICE.find((one) => one.id === id);
    const said = [row?.text.en, row?.why.en, row?.text.de, row?.why.de].join('\n');
    expect(said.split('\n').filter((line) => POWER.test(line))).toEqual([]);
  });

  it('is told of a motor as soon as it has one', () => {
    const sample = sampleModel('folded-over');
    const cars = sample.cars.map((car) => ({ ...car, powered: true }));
    expect(renderLetter('folded-over', { ...sample, cars }).text).toMatch(POWER);
    const stay = sampleModel('must-stay');
    const moves = (stay.moves ?? []).map((move) => ({ ...move, powered: true }));
    expect(renderLetter('must-stay', { ...stay, moves }).text).toMatch(POWER);
  });
});

describe('a car of which nobody told how it is kept', () => {
  const untold = (lacking: boolean, owner: string | null) => {
    const model = sampleModel('lubrication-due', 'en');
    const cars = model.cars.map((car) => ({
      ...car,
      because: lacking ? ['12 months at most', 'not told where it stands: 12'] : car.because,
    }));
    const links = { ...model.links, owner };
    return renderLetter('lubrication-due', { ...model, cars, links }).text;
  };
  const asks = 'We do not know yet how the car is kept';

  it('is asked about in the letter, where the owner has a page that asks', () => {
    const page = sampleModel('lubrication-due', 'en').links.owner;
    expect(untold(true, page)).toContain(asks);
    expect(untold(true, page)).toContain('not told where it stands: 12');
    expect(untold(false, page)).not.toContain(asks);
    expect(untold(true, null)).not.toContain(asks);
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
