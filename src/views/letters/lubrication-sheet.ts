import { alsoBlocks, alsoSources } from './also.ts';
import { becauseInWords, lacksKeeping } from '../because.ts';
import type { Checked } from './models.ts';
import { offersOf } from './offers.ts';
import { careWords } from './stay.ts';
import {
  type CarBlock,
  carName,
  EMPTY_BODY,
  IN_FULL,
  type LetterBody,
  type Speaker,
  type Tell,
} from './sheet.ts';

type Model = Checked<'lubrication-ahead'>;
type Car = Model['cars'][number];

const BY_HAND = ['look', 'clean', 'oil', 'move', 'wipe'] as const;
// Half way a powered top may sink by itself: nobody reaches into it.
const POWERED = ['powered', 'clean', 'oil', 'run', 'wipe'] as const;

/** Which cars are due for oil and a look at the washers, why then, and the weeks to choose from. */
export function lubricationBody(model: Model, speaker: Speaker): LetterBody {
  const first = model.cars.reduce((a, b) => (askedOn(b) < askedOn(a) ? b : a));
  const late = Math.max(...model.cars.map((car) => car.lateDays ?? 0));
  const alone = model.organisation.kind === 'private';
  const powered = model.cars.filter((car) => car.powered).length;
  const ways = [...(powered < model.cars.length ? BY_HAND : []), ...(powered > 0 ? POWERED : [])];
  const untold = model.cars.some((car) => lacksKeeping(car.because));
  const shorter = model.cars.some((car) => car.intervalMonths < 12);
  return {
    ...EMPTY_BODY,
    first: careWords(model.moves, speaker, model.organisation.kind),
    fillings: {
      due: speaker.day(askedOn(first)),
      from: speaker.day(first.windowFrom),
      to: speaker.day(first.windowTo),
      late: speaker.count('days', late),
    },
    cars: model.cars.map((car) => carBlock(car, model.cars.length, speaker)),
    notes: [
      speaker.say(shorter ? 'lubrication.shorter' : 'lubrication.yearly'),
      ...(untold && model.links.owner !== null ? [speaker.say('lubrication.untold')] : []),
    ],
    steps: alone ? [...new Set(ways)].map((step) => speaker.say(`lubrication.step.${step}`)) : [],
    offers: offersOf(model, speaker),
    also: alsoBlocks(model.also, speaker),
    sources: alsoSources(model, speaker),
    tell: tell(model, speaker),
    cautions: ['hands', powered > 0 ? 'springs.powered' : 'springs', 'force', 'handbook'].map(
      (key) => speaker.say(`caution.${key}`),
    ),
  };
}

function tell(model: Model, speaker: Speaker): Tell | null {
  const url = model.links.owner;
  if (url === null) return null;
  return { text: speaker.say('lubrication.tell'), button: speaker.say('lubrication.button'), url };
}

/** Nobody could know of a day that a find put into the past. */
function askedOn({ foundOn, dueOn }: Car): string {
  return foundOn ?? dueOn;
}

function carBlock(car: Car, count: number, speaker: Speaker): CarBlock {
  const fact = (label: string, value: string) => ({ label: speaker.say(`label.${label}`), value });
  const due = [fact('due', speaker.day(askedOn(car)))];
  if (car.lateDays !== null && car.lateDays > 0) {
    due.push(fact('late', speaker.count('days', car.lateDays)));
  }
  const notes =
    car.foundOn === null
      ? []
      : [speaker.say('lubrication.found', { found: speaker.day(car.foundOn) })];
  if (count > IN_FULL) return { name: carName(car), facts: due, notes };
  const oiled =
    car.lastOn === null
      ? fact('fitted', speaker.day(car.fittedOn))
      : fact('oiled', speaker.day(car.lastOn));
  return {
    name: carName(car),
    facts: [
      ...due,
      ...(car.foundOn === null ? [fact('window', speaker.span(car.windowFrom, car.windowTo))] : []),
      oiled,
      fact('interval', speaker.count('months', car.intervalMonths)),
      ...(car.because.length > 0 ? [fact('because', sum(car, speaker))] : []),
    ],
    notes,
  };
}

function sum(car: Car, speaker: Speaker): string {
  return car.because.map((line) => becauseInWords(line, speaker)).join('; ');
}
