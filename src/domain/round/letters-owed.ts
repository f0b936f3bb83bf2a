import type { Instant } from '../calendar/instant.ts';
import { dayIn, nextWithinHours } from '../calendar/zone.ts';
import type { CarFacts } from './car-facts.ts';
import { figuresOf } from '../figure-tables/letter-figures.ts';
import type { LetterKind } from './letter-kind.ts';
import { isAlarm, LETTER_KINDS, topicOf } from './letter-kind.ts';
import { wasSaid } from './move-mark.ts';
import type { Occasion } from './occasion.ts';
import { careOccasions, occasionsOwed } from './occasions.ts';
import type { RoundFigures } from '../letters/round-figures.ts';

/** One letter to one owner that has to be written now: one kind, all cars that it concerns. */
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
 * owner did not refuse. Cars share a letter of one kind; care waits for a day without an alarm.
 */
export function lettersOwed(
  cars: readonly CarFacts[],
  said: ReadonlySet<string>,
  at: Instant,
  figures: RoundFigures = figuresOf(cars[0]?.organisation).round,
): LetterOwed[] {
  const owner = cars[0]?.owner;
  const organisation = cars[0]?.organisation;
  if (owner === undefined || organisation === undefined || owner.unreachable) return [];
  const welcome = (occasion: Occasion): boolean => {
    const topic = topicOf(occasion.kind);
    return !wasSaid(occasion, said) && (topic === null || !owner.refusedTopics.includes(topic));
  };
  const urgent = cars.flatMap((car) => occasionsOwed(car, at, figures)).filter(welcome);
  const today = dayIn(owner.timeZone, at);
  const alarmed =
    urgent.some((occasion) => isAlarm(occasion.kind)) ||
    (owner.lastAlarmOn !== null && owner.lastAlarmOn >= today);
  const care = alarmed
    ? []
    : cars.flatMap((car) => careOccasions(car, today, figures)).filter(welcome);
  const [from, to] = organisation.letterHours;
  return LETTER_KINDS.flatMap((kind) => {
    const ofKind = [...urgent, ...care].filter((occasion) => occasion.kind === kind);
    const anyHour = isAlarm(kind) && organisation.nightAlarms;
    const notBefore = anyHour ? at : nextWithinHours(owner.timeZone, at, from, to);
    return [true, false].flatMap((stay) => {
      const occasions = ofKind.filter((occasion) => occasion.stay === stay);
      return occasions.length === 0 ? [] : [{ kind, stay, occasions, notBefore }];
    });
  });
}
