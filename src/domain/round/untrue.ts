import type { Instant } from '../calendar/instant.ts';
import type { CarFacts } from './car-facts.ts';
import { adviceOf } from '../advice/advice-rows.ts';
import { holdsFor } from '../advice/sayable.ts';
import { dayIn } from '../calendar/zone.ts';
import { figuresOf } from '../figure-tables/letter-figures.ts';
import { topicOf } from './letter-kind.ts';
import { stillHolds } from './move-mark.ts';
import { adviceFactsOf, adviceIn, occasionsOwed } from './occasions.ts';
import type { Told } from './told.ts';

/**
 * Of what was said about these cars, what is not true at an instant, or not welcome any more, whatever
 * became of its letter. What was said about other cars is not judged.
 */
export function untrueAmong(cars: readonly CarFacts[], told: readonly Told[], at: Instant): Told[] {
  if (told.length === 0) return [];
  const owed = new Set(cars.flatMap((car) => occasionsOwed(car, at)).map(({ key }) => key));
  const byCar = new Map(cars.map((car) => [car.id, car]));
  return told.filter((one) => {
    const car = byCar.get(one.carId ?? '');
    if (car === undefined) return false;
    if (!isWelcome(one, car)) return true;
    return !stillHolds(one, car, owed) || !isStillMeant(one, car, at);
  });
}

/** A care note that asks for oil is untrue once there was some; so with all that advice rests on. */
function isStillMeant({ kind, key }: Told, car: CarFacts, at: Instant): boolean {
  if (kind !== 'care-note' || car.top === null) return true;
  const { adviceId, topId } = adviceIn(key);
  const advice = adviceOf(adviceId);
  if (advice === undefined || topId !== car.top.id) return true;
  const today = dayIn(car.owner.timeZone, at);
  const { top } = adviceFactsOf(car, car.top, today);
  return holdsFor(advice, top, today, figuresOf(car.organisation).advice);
}

function isWelcome({ kind }: Told, { owner }: CarFacts): boolean {
  const topic = topicOf(kind);
  return !owner.unreachable && (topic === null || !owner.refusedTopics.includes(topic));
}
