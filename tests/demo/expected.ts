import type { LetterKind } from '../../src/domain/round/letter-kind.ts';
import { topicOf } from '../../src/domain/round/letter-kind.ts';
import type { SeedCar, SeedOwner, Seeds } from '../../src/usecases/scenario/scenario-seeds.ts';

const FOLDED: Readonly<Partial<Record<NonNullable<SeedCar['position']>, LetterKind>>> = {
  'folded-last-week': 'folded-over',
  'folded-damp': 'folded-nearing',
  'folded-nearing': 'folded-nearing',
  'folded-for-weeks': 'folded-still',
};

/**
 * The letters about oil and folding that the seeds ask for, as `kind registration`, worked out from
 * the plain words of the seeds and the days at which letters are written (28 before, on the day, 21
 * and 60 after), without the code that makes up the history or holds the round.
 */
export function expectedLetters(seeds: Seeds): string[] {
  return seeds.organisations
    .flatMap(({ owners }) => owners.flatMap((owner) => owner.cars.flatMap(lettersTo(owner))))
    .sort();
}

function lettersTo(owner: SeedOwner): (car: SeedCar) => string[] {
  return (car) => {
    const kinds = [
      car.position === undefined ? undefined : FOLDED[car.position],
      car.booked?.kind === 'lubrication' ? undefined : oilLetter(car.due),
    ].filter((kind) => kind !== undefined);
    return kinds
      .filter((kind) => !(owner.refuses ?? []).includes(topicOf(kind) ?? 'offers'))
      .filter(() => owner.bounced === undefined)
      .map((kind) => `${kind} ${car.registration}`);
  };
}

function oilLetter(due: SeedCar['due']): LetterKind | undefined {
  if (due === undefined) return undefined;
  const kinds = due.map((days): LetterKind | undefined => {
    if (days > 28 || days <= -90) return undefined;
    if (days > 0) return 'lubrication-ahead';
    return days > -21 ? 'lubrication-due' : 'lubrication-late';
  });
  if (kinds[0] !== kinds[1]) throw new Error(`${due.join(' to ')} days is not one letter`);
  return kinds[0];
}
