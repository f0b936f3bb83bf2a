import type { Instant } from '../calendar/instant.ts';
import { dayIn, nextWithinHours } from '../calendar/zone.ts';
import type { CarFacts } from './car-facts.ts';
import { figuresOf } from '../figure-tables/letter-figures.ts';
import type { LetterKind } from './letter-kind.ts';
import {
  isAskedFor,
  isFoldedAlarm,
  isShared,
  LETTER_KINDS,
  SHARED_KINDS,
  topicOf,
} from './letter-kind.ts';
import { wasTold } from './move-mark.ts';
import type { Occasion } from './occasion.ts';
import { careOccasions, occasionsOwed } from './occasions.ts';
import type { RoundFigures } from '../letters/round-figures.ts';

/**
 * One letter to one owner that has to be written now, with all cars and occasions that it is about.
 * `kind` is that of the occasion whose deed comes first; the others share the letter.
 */
export interface LetterOwed {
  readonly kind: LetterKind;
  /** About tops that must not be moved; others never share such a letter. */
  readonly stay: boolean;
  readonly occasions: readonly Occasion[];
  /** The first moment at which it may leave. */
  readonly notBefore: Instant;
}

/**
 * The letters owed to one owner, whose cars these are: what is true, was not said before, and the
 * owner did not refuse. An alarm has a letter of its own; all else that is due, offered and worth
 * knowing shares one letter a day, and waits where one has left or waits for that day already. What was
 * asked for has a letter of its own and takes the day. Tops that must stay come first, and care waits
 * for a day without an alarm. That a top must stay has a letter of its own where no other has said so.
 */
export function lettersOwed(
  cars: readonly CarFacts[],
  keys: ReadonlySet<string>,
  at: Instant,
  figures: RoundFigures = figuresOf(cars[0]?.organisation).round,
): LetterOwed[] {
  const owner = cars[0]?.owner;
  const organisation = cars[0]?.organisation;
  if (owner === undefined || organisation === undefined || owner.unreachable) return [];
  const welcome = (occasion: Occasion): boolean => {
    const topic = topicOf(occasion.kind);
    return !wasTold(occasion, keys) && (topic === null || !owner.refusedTopics.includes(topic));
  };
  const [from, to] = organisation.letterHours;
  const opening = nextWithinHours(owner.timeZone, at, from, to);
  const owed = cars.flatMap((car) => occasionsOwed(car, at, figures)).filter(welcome);
  const folded = foldedLetters(owed, organisation.nightAlarms ? at : opening);
  const asked = owed
    .filter(({ kind }) => isAskedFor(kind))
    .map((one) => ({ kind: one.kind, stay: one.stay, occasions: [one], notBefore: opening }));
  const isTaken =
    owner.lastLetterOn !== null && owner.lastLetterOn >= dayIn(owner.timeZone, opening);
  const alone = [...folded, ...asked];
  const waits = asked.length > 0 || isTaken;
  const shared = waits ? [] : sharedLetter(owed, opening);
  const stays = stayLetter(owed, cars, [...alone, ...shared], opening);
  if (waits) return [...alone, ...stays];
  const alarms = [...folded, ...stays];
  const today = dayIn(owner.timeZone, at);
  const alarmed = alarms.length > 0 || (owner.lastAlarmOn !== null && owner.lastAlarmOn >= today);
  const care = alarmed
    ? []
    : cars.flatMap((car) => careOccasions(car, today, figures)).filter(welcome);
  return [...alarms, ...sharedLetter([...owed, ...care], opening)];
}

/** One letter a kind of alarm, those about tops that must stay apart from the others. */
function foldedLetters(owed: readonly Occasion[], notBefore: Instant): LetterOwed[] {
  return LETTER_KINDS.filter(isFoldedAlarm).flatMap((kind) =>
    [true, false].flatMap((stay) => {
      const occasions = owed.filter((one) => one.kind === kind && one.stay === stay);
      return occasions.length === 0 ? [] : [{ kind, stay, occasions, notBefore }];
    }),
  );
}

/**
 * That tops must stay, of those cars of which no letter has said so since it is known, nor is about to.
 * It says of their oil, where that is due, all that such a reminder would say.
 */
function stayLetter(
  owed: readonly Occasion[],
  cars: readonly CarFacts[],
  letters: readonly LetterOwed[],
  notBefore: Instant,
): LetterOwed[] {
  const toldToStay = new Set(
    letters.flatMap(({ occasions }) =>
      occasions.filter(({ stay }) => stay).map(({ carId }) => carId),
    ),
  );
  const untold = new Set(
    cars.filter((car) => !toldToStay.has(car.id) && !wasToldToStay(car)).map(({ id }) => id),
  );
  const occasions = owed.filter(
    ({ carId, stay, detail: { matter } }) =>
      stay && untold.has(carId) && (matter === 'stay' || matter === 'lubrication'),
  );
  return occasions.some(({ kind }) => kind === 'must-stay')
    ? [{ kind: 'must-stay', stay: true, occasions, notBefore }]
    : [];
}

/** Whether some letter said of a car that its top must stay, since what makes it stay is known. */
export function wasToldToStay({ id, owner, staysSince }: CarFacts): boolean {
  return (
    staysSince !== undefined &&
    owner.staysTold.some(({ carId, on }) => carId === id && on >= staysSince)
  );
}

function sharedLetter(owed: readonly Occasion[], notBefore: Instant): LetterOwed[] {
  const shared = owed.filter(({ kind }) => isShared(kind));
  const stay = shared.some((occasion) => occasion.stay);
  const occasions = shared.filter((occasion) => occasion.stay === stay);
  const kind = SHARED_KINDS.find((one) => occasions.some((occasion) => occasion.kind === one));
  return kind === undefined ? [] : [{ kind, stay, occasions, notBefore }];
}
