import type { Instant } from '../calendar/instant.ts';
import { addMinutes } from '../calendar/instant.ts';
import { dayIn } from '../calendar/zone.ts';
import type { CarFacts } from './car-facts.ts';
import { isAlarm, isShared } from './letter-kind.ts';
import type { LetterOwed } from './letters-owed.ts';
import { lettersOwed } from './letters-owed.ts';
import { isOfStay } from './move-mark.ts';
import { nextLook } from './next-look.ts';
import type { Told } from './told.ts';
import { heardFrom, isOpen, ownerAfter } from './told.ts';
import { untrueAmong } from './untrue.ts';

/** What a round has to know: cars, and every letter to their owners that was not cancelled. */
export interface RoundFacts {
  readonly cars: readonly CarFacts[];
  readonly told: readonly Told[];
}

export const CANCEL_REASONS = {
  untrue: 'no longer true',
  joined: 'made way for a newer letter',
  early: 'written too early, by a clock that was ahead',
} as const;
export type CancelReason = keyof typeof CANCEL_REASONS;

/** What a round does for one owner. */
export interface OwnerDecision {
  readonly ownerId: string;
  /** The owner's cars, as they stand once what is cancelled counts as never written. */
  readonly cars: readonly CarFacts[];
  readonly cancel: readonly { readonly letterId: string; readonly why: CancelReason }[];
  readonly write: readonly LetterOwed[];
  /** When to look at each car next, once this is done; null is never, until something is recorded. */
  readonly looks: readonly { readonly id: string; readonly lookAt: Instant | null }[];
}

// Clocks of one system differ by less; letters of a round that is running now are not from the future.
const CLOCK_MINUTES = 5;

/**
 * What a round held at an instant does, owner by owner: what is cancelled, what is written, when each
 * car is looked at next. The real round, the dry one and the forecast all do just this. It decides by
 * the facts and the instant alone, so holding it twice, late or elsewhere comes to the same.
 */
export function decideRound({ cars, told }: RoundFacts, at: Instant): OwnerDecision[] {
  const saidTo = groupBy(told, ({ ownerId }) => ownerId);
  return [...groupBy(cars, ({ owner }) => owner.id)].map(([ownerId, own]) =>
    decideOwner(own, saidTo.get(ownerId) ?? [], at),
  );
}

/** The same for the cars of one owner; `alreadyTold` adds keys to those that `told` names. */
export function decideOwner(
  cars: readonly CarFacts[],
  told: readonly Told[],
  at: Instant,
  alreadyTold: ReadonlySet<string> = new Set(),
): OwnerDecision {
  const cancel = cancelled(cars, told, at, alreadyTold);
  const gone = new Set(cancel.map(({ letterId }) => letterId));
  const standing = told.filter(({ letterId }) => !gone.has(letterId));
  const own = gone.size === 0 ? cars : cars.map((car) => asIfUnsaid(car, standing));
  const write = lettersOwed(own, keysOf(standing, alreadyTold), at);
  return {
    ownerId: cars[0]?.owner.id ?? '',
    cars: own,
    cancel,
    write,
    looks: own.map((car) => {
      const owner = write.reduce(ownerAfter, car.owner);
      return { id: car.id, lookAt: nextLook({ ...car, owner }, at) };
    }),
  };
}

function cancelled(
  cars: readonly CarFacts[],
  told: readonly Told[],
  at: Instant,
  alreadyTold: ReadonlySet<string>,
): OwnerDecision['cancel'][number][] {
  const open = told.filter((one) => isOpen(one));
  if (open.length === 0) return [];
  const why = new Map<string, CancelReason>();
  const latest = addMinutes(at, CLOCK_MINUTES);
  const early = open.filter(({ plannedAt, kind }) => plannedAt > latest && !isOfWork(kind));
  for (const { letterId } of early) why.set(letterId, 'early');
  for (const { letterId } of untrueAmong(cars, open, at)) {
    if (!why.has(letterId)) why.set(letterId, 'untrue');
  }
  const standing = told.filter(({ letterId }) => !why.has(letterId));
  const own = why.size === 0 ? cars : cars.map((car) => asIfUnsaid(car, standing));
  for (const letterId of lettersToJoin(own, standing, at, alreadyTold)) why.set(letterId, 'joined');
  return [...why].map(([letterId, reason]) => ({ letterId, why: reason }));
}

/** Letters about what somebody did to a visit, whatever the clock said then; offers are the round's. */
function isOfWork(kind: Told['kind']): boolean {
  return kind.startsWith('visit-') && kind !== 'visit-offered';
}

/**
 * Unsent letters that have to make way for what the owner is about to get. A letter that several
 * occasions share is written anew when another one joins them; it waits for the next day where
 * another letter has taken its own; and care waits for a day without an alarm. One that has left
 * stays.
 */
function lettersToJoin(
  cars: readonly CarFacts[],
  told: readonly Told[],
  at: Instant,
  alreadyTold: ReadonlySet<string>,
): string[] {
  const open = told.filter((one) => isOpen(one));
  const zone = cars[0]?.owner.timeZone;
  if (open.length === 0 || zone === undefined) return [];
  const waiting = new Set(open.flatMap((one) => (isShared(one.kind) ? [one.letterId] : [])));
  const others = told.filter(({ letterId }) => !waiting.has(letterId));
  const { lastLetterOn } = heardFrom(zone, others);
  const free = cars.map((car) => ({ ...car, owner: { ...car.owner, lastLetterOn } }));
  const owed = lettersOwed(free, keysOf(told, alreadyTold), at);
  const alarm = owed.some(({ kind }) => isAlarm(kind));
  const news = owed.find(({ kind }) => isShared(kind));
  const joins = (one: Told): boolean => {
    // Any other letter about such a top says so too.
    if (one.kind === 'must-stay') return owed.some((letter) => tellsToStay(letter, one.carId));
    if (isAlarm(one.kind)) {
      return owed.some(({ kind, stay }) => kind === one.kind && stay === isOfStay(one.key));
    }
    if (!isShared(one.kind)) return false;
    // What tells that a top must stay makes way for nothing else.
    const isNews = news !== undefined && (news.stay || !isOfStay(one.key));
    const taken = lastLetterOn !== null && lastLetterOn >= dayIn(zone, one.notBefore);
    return isNews || taken || (alarm && one.kind === 'care-note');
  };
  return [...new Set(open.filter(joins).map(({ letterId }) => letterId))];
}

/** Another such letter is to be one with it; any other one tells the same of the car. */
function tellsToStay({ kind, occasions }: LetterOwed, carId: string | null): boolean {
  if (kind === 'must-stay') return true;
  return occasions.some((occasion) => occasion.stay && occasion.carId === carId);
}

function asIfUnsaid(car: CarFacts, standing: readonly Told[]): CarFacts {
  const { owner } = car;
  return { ...car, owner: { ...owner, ...heardFrom(owner.timeZone, standing) } };
}

function keysOf(told: readonly Told[], more: ReadonlySet<string>): Set<string> {
  const keys = new Set(more);
  for (const { key } of told) keys.add(key);
  return keys;
}

function groupBy<Item>(items: readonly Item[], keyOf: (item: Item) => string): Map<string, Item[]> {
  const groups = new Map<string, Item[]>();
  for (const item of items) {
    const group = groups.get(keyOf(item));
    if (group === undefined) groups.set(keyOf(item), [item]);
    else group.push(item);
  }
  return groups;
}
