import type { Checked } from './models.ts';
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

type Model = Checked<'folded-over'>;
type Car = Model['cars'][number];

/** What to do about a top that stands folded, why, and how to say that it is up again. */
export function foldedBody(model: Model, speaker: Speaker): LetterBody {
  const damp = model.cars.some((car) => car.damp);
  const hours = speaker.count('hours', model.restHours);
  const care = careWords(model.moves, speaker, model.organisation.kind);
  // What is to be stopped at the first resistance is not told to be done in one go.
  const cautions = ['hands', ...(care.length > 0 ? [] : ['whole']), 'cold', 'force', 'handbook'];
  return {
    ...EMPTY_BODY,
    cars: model.cars.map((car) => carBlock(car, model, speaker)),
    first: care,
    notes: model.cars.some((car) => !car.damp) ? [speaker.say('folded.limit')] : [],
    steps: [
      ...coldStep(model, speaker),
      speaker.say(
        model.cars.some((car) => car.powered) ? 'folded.step.place.powered' : 'folded.step.place',
      ),
      ...raising(model, care.length > 0).map((key) => speaker.say(key)),
      ...(damp ? [speaker.say('folded.step.damp')] : []),
      speaker.say('folded.step.rest', { hours }),
    ],
    tell: tell(model, speaker),
    cautions: cautions.map((key) => speaker.say(`caution.${key}`)),
  };
}

/** What could stop somebody who is about to raise it stands before how to raise it. */
function coldStep({ cars }: Model, speaker: Speaker): string[] {
  const floors = cars.flatMap(({ floor }) => (floor === null ? [] : [floor.celsius]));
  if (floors.length === 0) return [];
  const celsius = String(Math.max(...floors)).replace('-', '−');
  return [speaker.say('folded.step.cold', { celsius })];
}

/** A powered top is raised by its switch, which has steps of its own. */
function raising({ cars, organisation: { kind } }: Model, withCare: boolean): string[] {
  if (withCare) return ['folded.step.raise.care'];
  return [
    ...(cars.every((car) => car.powered) ? [] : ['folded.step.raise']),
    ...(cars.some((car) => car.powered) ? [`folded.step.raise.powered.${kind}`] : []),
  ];
}

function tell(model: Model, speaker: Speaker): Tell {
  const url = model.links.owner;
  if (url !== null) {
    return { text: speaker.say('folded.tell.link'), button: speaker.say('folded.button'), url };
  }
  const alone = model.organisation.kind === 'private';
  const text = speaker.say(alone ? 'folded.tell.note' : 'folded.tell.answer');
  return { text, button: null, url: null };
}

function carBlock(car: Car, model: Model, speaker: Speaker): CarBlock {
  const { timeZone } = model;
  const fact = (label: string, value: string) => ({ label: speaker.say(`label.${label}`), value });
  const limit = fact('limit', speaker.count('days', car.limitDays));
  return {
    name: carName(car),
    facts: [
      ...(car.startedAt === null
        ? []
        : [fact('foldedSince', speaker.instant(car.startedAt, timeZone))]),
      ...(model.cars.length > IN_FULL ? [] : [limit]),
      ...(car.overAt === null ? [] : [fact('reachedOn', speaker.instant(car.overAt, timeZone))]),
    ],
    notes: [
      ...(car.tookOverOn === null
        ? []
        : [speaker.say('folded.before', { day: speaker.day(car.tookOverOn) })]),
      ...(car.damp ? [speaker.say('folded.damp')] : []),
      ...(car.coverOn === false ? [speaker.say('folded.cover')] : []),
      ...floorNote(car, speaker),
    ],
  };
}

function floorNote({ floor }: Car, speaker: Speaker): string[] {
  if (floor === null) return [];
  const celsius = String(floor.celsius).replace('-', '−');
  return [speaker.say(floor.byHandbook ? 'floor.handbook' : 'floor.rule', { celsius })];
}
