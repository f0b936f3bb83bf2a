import type { Instant } from '../calendar/instant.ts';
import type { CarFacts } from './car-facts.ts';
import { adviceOf } from '../advice/advice-rows.ts';
import { holdsFor } from '../advice/sayable.ts';
import { dayIn } from '../calendar/zone.ts';
import { figuresOf } from '../figure-tables/letter-figures.ts';
import { topicOf } from './letter-kind.ts';
import { stillHolds } from './move-mark.ts';
import { adviceFactsOf, adviceIn, occasionsOwed } from './occasions.ts';
import type { Spoken } from './spoken.ts';

/**
 * Of what was said about these cars, what is not true at an instant, or not welcome any more, whatever
 * became of its letter. What was said about other cars is not judged.
 */
export function untrueAmong(
  cars: readonly CarFacts[],
  spoken: readonly Spoken[],
  at: Instant,
): Spoken[] {
  if (spoken.length === 0) return [];
  const owed = new Set(cars.flatMap((car) => occasionsOwed(car, at)).map(({ key }) => key));
  const byCar = new Map(cars.map((car) => [car.id, car]));
  return spoken.filter((said) => {
    const car = byCar.get(said.carId ?? '');
    if (car === undefined) return false;
    if (!isWelcome(said, car)) return true;
    return !stillHolds(said, car, owed) || !isStillMeant(said, car, at);
  });
}

/** A care note that asks for oil is untrue once there was some; so with all that advice rests on. */
function isStillMeant({ kind, key }: Spoken, car: CarFacts, at: Instant): boolean {
  if (kind !== 'care-note' || car.top === null) return true;
  const { adviceId, topId } = adviceIn(key);
  const advice = adviceOf(adviceId);
  if (advice === undefined || topId !== car.top.id) return true;
  const today = dayIn(car.owner.timeZone, at);
  const { top } = adviceFactsOf(car, car.top);
  return holdsFor(advice, top, today, figuresOf(car.organisation).advice);
}

function isWelcome({ kind }: Spoken, { owner }: CarFacts): boolean {
  const topic = topicOf(kind);
  return !owner.unreachable && (topic === null || !owner.refusedTopics.includes(topic));
}
