import type { Day } from '../calendar/day.ts';
import { addDays, dueDay } from '../calendar/day.ts';
import type { Instant } from '../calendar/instant.ts';
import { dayIn } from '../calendar/zone.ts';
import { figuresOf } from '../figure-tables/letter-figures.ts';
import type { CarFacts } from './car-facts.ts';
import type { LetterKind } from './letter-kind.ts';
import { decideOwner } from './decide.ts';
import { nextLook } from './next-look.ts';
import type { LetterOwed } from './letters-owed.ts';
import { wasTold } from './move-mark.ts';
import { occasionsOwed } from './occasions.ts';
import type { Told } from './told.ts';
import { isOpen, ownerAfter } from './told.ts';

/** A letter that would be written if nothing else happened. */
export interface ForecastItem {
  readonly kind: LetterKind;
  readonly ownerId: string;
  readonly carIds: readonly string[];
  readonly on: Day;
}

// More steps than any honest range needs; a fault in a rule must not become an endless loop.
const MOST_STEPS = 20_000;

/**
 * The letters to one owner from `now` until the end of day `to`, by the same decision as the round:
 * time is moved from one look to the next. Each lubrication is taken as done in time and its due
 * days stay anchor + n × interval; nothing else is recorded.
 */
export function forecastFor(
  cars: readonly CarFacts[],
  toldBefore: readonly Told[],
  now: Instant,
  to: Day,
): ForecastItem[] {
  let told: readonly Told[] = toldBefore;
  const items = new Map<string, ForecastItem>();
  let current = cars.map((car) => ({ car, turn: 1 }));
  let at: Instant | null = now;
  for (let step = 0; at !== null && step < MOST_STEPS; step++) {
    const owner = current[0]?.car.owner;
    if (owner === undefined) break;
    const instant: Instant = at;
    const today = dayIn(owner.timeZone, instant);
    if (today > to) break;
    told = told.map((one) => leftBy(one, instant));
    const own = current.map(({ car }) => car);
    const { cancel, write, cars: standing } = decideOwner(own, told, instant);
    const gone = new Set(cancel.map(({ letterId }) => letterId));
    for (const id of gone) items.delete(id);
    told = told.filter(({ letterId }) => !gone.has(letterId));
    for (const [i, letter] of write.entries()) {
      const id = `${step}:${i}`;
      const on = dayIn(owner.timeZone, letter.notBefore);
      const carIds = [...new Set(letter.occasions.map((occasion) => occasion.carId))];
      if (on <= to) items.set(id, { kind: letter.kind, ownerId: owner.id, carIds, on });
      told = [...told, ...toldBy(letter, id, owner.id, instant)];
    }
    const toldOwner = write.reduce(ownerAfter, standing[0]?.owner ?? owner);
    const keys = new Set(told.map(({ key }) => key));
    current = current.map(({ car, turn }) => {
      const entry = { car: { ...car, owner: toldOwner }, turn };
      return waitsForOil(entry.car, keys, instant) ? entry : doneInTime(entry, today);
    });
    at = current
      .map(({ car }) => nextLook(car, instant))
      .filter((look) => look !== null)
      .reduce<Instant | null>((a, b) => (a === null || b < a ? b : a), null);
  }
  return [...items.values()].sort((a, b) =>
    a.on < b.on ? -1 : a.on > b.on ? 1 : a.kind < b.kind ? -1 : 1,
  );
}

/** A letter leaves at its hour. */
function leftBy(one: Told, at: Instant): Told {
  return isOpen(one) && one.notBefore <= at ? { ...one, state: 'delivered' } : one;
}

function toldBy(letter: LetterOwed, id: string, ownerId: string, at: Instant): Told[] {
  const { notBefore } = letter;
  return letter.occasions.map(({ kind, key, carId }) => ({
    key,
    carId,
    ownerId,
    letterId: id,
    messageId: id,
    kind,
    state: 'planned',
    plannedAt: at,
    notBefore,
    started: false,
  }));
}

/** A reminder found the day's letter gone and is written on the next day: until then nothing is done. */
function waitsForOil(car: CarFacts, keys: ReadonlySet<string>, at: Instant): boolean {
  if (car.owner.unreachable || car.owner.refusedTopics.includes('reminders')) return false;
  return occasionsOwed(car, at).some(
    (occasion) =>
      (occasion.detail.matter === 'lubrication' || occasion.detail.matter === 'look') &&
      !wasTold(occasion, keys),
  );
}

/** Once a due day has come and was written about, the visit counts as done and the next one is due. */
function doneInTime(before: { car: CarFacts; turn: number }, today: Day): typeof before {
  const entry = { ...before, car: lookedInTime(before.car, today) };
  const { top } = entry.car;
  if (top === null || today < top.dueOn) return entry;
  const anchor = top.lastOn ?? top.fittedOn;
  let turn = entry.turn;
  let dueOn = top.dueOn;
  while (dueOn <= today) dueOn = dueDay(anchor, top.intervalMonths, ++turn);
  const next = { ...top, dueOn, askedSince: undefined, booked: false, lookAfterOn: null };
  return { car: { ...entry.car, top: next }, turn };
}

function lookedInTime(car: CarFacts, today: Day): CarFacts {
  const { top } = car;
  if (top === null || top.lookAfterOn === null) return car;
  const dueOn = addDays(top.lookAfterOn, figuresOf(car.organisation).look.afterDays);
  return today < dueOn ? car : { ...car, top: { ...top, lookAfterOn: null } };
}
