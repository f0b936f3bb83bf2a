import type { LetterKind } from './models.ts';
import {
  type CarBlock,
  carName,
  type Checked,
  EMPTY_BODY,
  type LetterBody,
  type Speaker,
  type Tell,
} from './sheet.ts';

type Model = Checked<'folded-over'>;
type Car = Model['cars'][number];

/** Raised for as long as this ends a folded stretch. Shop rule; the model may carry another. */
const REST_HOURS = 12;

/** What to do about a top that stands folded, why, and how to say that it is up again. */
export function foldedBody(model: Model, kind: LetterKind, speaker: Speaker): LetterBody {
  const damp = model.cars.some((car) => car.damp);
  const hours = speaker.count('hours', model.restHours ?? REST_HOURS);
  const cautions = ['hands', 'whole', 'cold', 'force', 'handbook'];
  return {
    ...EMPTY_BODY,
    cars: model.cars.map((car) => carBlock(car, model.timeZone, kind, speaker)),
    steps: [
      speaker.say('folded.step.place'),
      speaker.say('folded.step.raise'),
      ...(damp ? [speaker.say('folded.step.damp')] : []),
      speaker.say('folded.step.rest', { hours }),
    ],
    tell: tell(model, speaker),
    cautions: cautions.map((key) => speaker.say(`caution.${key}`)),
  };
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

function carBlock(car: Car, timeZone: string, kind: LetterKind, speaker: Speaker): CarBlock {
  const fact = (label: string, value: string) => ({ label: speaker.say(`label.${label}`), value });
  return {
    name: carName(car),
    facts: [
      fact('foldedSince', speaker.instant(car.startedAt, timeZone)),
      fact('limit', speaker.count('days', car.limitDays)),
      fact(
        kind === 'folded-nearing' ? 'reachedOn' : 'passedOn',
        speaker.instant(car.overAt, timeZone),
      ),
    ],
    notes: [
      speaker.say(car.damp ? 'folded.damp' : 'folded.limit'),
      ...(car.coverOn === false ? [speaker.say('folded.cover')] : []),
    ],
  };
}
