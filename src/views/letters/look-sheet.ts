import { alsoBlocks, alsoSources } from './also.ts';
import type { Checked } from './models.ts';
import { offersOf } from './offers.ts';
import { type CarBlock, carName, EMPTY_BODY, type LetterBody, type Speaker } from './sheet.ts';
import { careWords } from './stay.ts';

type Model = Checked<'look-due'>;
type Car = Model['cars'][number];

/** Which joints want a second look after they were found stiff or repaired, and when. */
export function lookBody(model: Model, speaker: Speaker): LetterBody {
  const first = model.cars.reduce((a, b) => (b.windowTo < a.windowTo ? b : a));
  const alone = model.organisation.kind === 'private';
  return {
    ...EMPTY_BODY,
    first: careWords(model.moves, speaker, model.organisation.kind),
    fillings: {
      since: speaker.day(first.since),
      from: speaker.day(first.windowFrom),
      to: speaker.day(first.windowTo),
    },
    cars: model.cars.map((car) => carBlock(car, speaker)),
    notes: [speaker.say('look.rule')],
    steps: alone ? ['turn', 'nut', 'log'].map((step) => speaker.say(`look.step.${step}`)) : [],
    offers: offersOf(model, speaker),
    also: alsoBlocks(model.also, speaker),
    sources: alsoSources(model, speaker),
    cautions: ['hands', 'force', 'handbook'].map((key) => speaker.say(`caution.${key}`)),
  };
}

function carBlock(car: Car, speaker: Speaker): CarBlock {
  const fact = (label: string, value: string) => ({ label: speaker.say(`label.${label}`), value });
  return {
    name: carName(car),
    facts: [
      fact('since', speaker.day(car.since)),
      fact('window', speaker.span(car.windowFrom, car.windowTo)),
    ],
    notes: [],
  };
}
