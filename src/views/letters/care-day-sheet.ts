import { alsoBlocks } from './also.ts';
import type { Checked } from './models.ts';
import { type CarBlock, carName, EMPTY_BODY, type LetterBody, type Speaker } from './sheet.ts';
import { careWords } from './stay.ts';

type Model = Checked<'care-day-asked'>;
type Car = Model['cars'][number];

/** Which care day a car is asked to, where it is, and the link to the times that are free. */
export function careDayBody(model: Model, speaker: Speaker): LetterBody {
  const { say } = speaker;
  const { cars, offers } = model;
  const first = cars.reduce((a, b) => (b.on < a.on ? b : a));
  return {
    ...EMPTY_BODY,
    first: careWords(model.moves, speaker, model.organisation.kind),
    fillings: { when: speaker.day(first.on), place: first.place },
    cars: cars.map((car) => carBlock(car, speaker)),
    offers: {
      intro: [say('care-day.choose')],
      items: offers.map(({ registration, url }) => ({
        label:
          offers.length === 1
            ? say('care-day.button')
            : say('care-day.button.car', { car: registration }),
        url,
      })),
    },
    also: alsoBlocks(model.also, speaker),
  };
}

function carBlock(car: Car, speaker: Speaker): CarBlock {
  const fact = (label: string, value: string) => ({ label: speaker.say(`label.${label}`), value });
  return {
    name: carName(car),
    facts: [
      fact('when', speaker.day(car.on)),
      fact('where', car.place),
      fact('hours', speaker.say('care-day.hours', { from: car.from, until: car.until })),
      fact('choose-until', speaker.day(car.changeUntil)),
    ],
    notes: [],
  };
}
