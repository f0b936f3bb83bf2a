import { createHash } from 'node:crypto';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import type { ToldVisitRow, VisitLetterRow } from '../../store/visits/visit-letter-rows.ts';

/** What there is to tell an owner about a visit. */
export interface VisitNews {
  readonly kind: Extract<
    LetterKind,
    'visit-booked' | 'visit-moved' | 'visit-called-off' | 'visit-report'
  >;
  /** The day that it is about. */
  readonly on: Day;
  /** What the key of its letter tells it by: the day, the time where it has one, and a mark of the place. */
  readonly when: string;
  /** The day that the owner was told before. */
  readonly previousOn: Day | null;
  /** Day and time are as she was told: it is the place that is another. */
  readonly elsewhere: boolean;
}

type Visit = Pick<ToldVisitRow, 'state' | 'plannedOn' | 'doneOn' | 'dropOffAt'> & {
  /** Where it is to be, as it was typed; null where nobody has to be told. */
  readonly place: string | null;
};
type Told = Pick<VisitLetterRow, 'kind' | 'key' | 'state' | 'startedAt'>;

/** When and by whom something may be told. */
export interface Telling {
  readonly today: Day;
  readonly reportDays: number;
  /** The owner does it herself, by a link or page of her own. */
  readonly byOwner: boolean;
}

/**
 * What has to be told about a visit now, given every letter about it, oldest first; null for nothing.
 * An owner knows what a letter told her that left, and what she chose herself. So a visit is first told
 * as booked, wherever it was before; as moved or called off only to who knew of another day, or of it;
 * and what she did herself is confirmed. Of days gone by nothing is told, and a report only while it is
 * fresh.
 */
export function newsOf(
  visit: Visit,
  letters: readonly Told[],
  { today, reportDays, byOwner }: Telling,
): VisitNews | null {
  const { state, plannedOn, doneOn } = visit;
  if (state === 'done' && doneOn !== null) {
    const known = letters.some((letter) => letter.kind === 'visit-report' && isOutOrOpen(letter));
    const fresh = doneOn <= today && addDays(doneOn, reportDays) >= today;
    if (known || !fresh) return null;
    const on = doneOn;
    return { kind: 'visit-report', on, when: on, previousOn: null, elsewhere: false };
  }
  if (plannedOn === null || plannedOn < today) return null;
  const standingAt = letters.findLastIndex(isOutOrOpen);
  const knownAt = letters.findLastIndex(isKnown);
  const standing = letters[standingAt] ?? null;
  const known = letters[knownAt] ?? null;
  // A letter that left says nothing any more where she chose otherwise after it.
  const isLast = knownAt <= standingAt;
  if (state === 'cancelled') {
    if (isLast && standing?.kind === 'visit-called-off') return null;
    if (!byOwner && (known === null || known.kind === 'visit-called-off')) return null;
    const on = (known === null ? null : dayTold(known)) ?? plannedOn;
    return { kind: 'visit-called-off', on, when: on, previousOn: null, elsewhere: false };
  }
  if (state !== 'booked') return null;
  const now = { on: plannedOn, when: whenOf(plannedOn, visit) };
  const knowsIt = known === null || tells(known, now.when);
  if (standing !== null && tells(standing, now.when) && (isLast || knowsIt)) return null;
  // What she knows, or does herself, is told as news since the last letter that left.
  const told = letters.findLast(hasLeft) ?? null;
  const isBack = told !== null && tells(told, now.when);
  const before = (byOwner || knowsIt) && !isBack ? told : known;
  if (before === null || before.kind === 'visit-called-off') {
    return { kind: 'visit-booked', ...now, previousOn: null, elsewhere: false };
  }
  const elsewhere = isSameTime(whenTold(before), now.when);
  return { kind: 'visit-moved', ...now, previousOn: dayTold(before), elsewhere };
}

/** Whether a letter tells that a visit is to be then. */
function tells(letter: Pick<Told, 'kind' | 'key'>, when: string): boolean {
  return letter.kind !== 'visit-called-off' && isToldAs(letter, when);
}

/** What the key of a letter says of a day that its owner chose or gave back herself. */
export const OWN_MARK = ':own';

function isOwn({ key }: Pick<Told, 'key'>): boolean {
  return new RegExp(`${OWN_MARK}(?:[:#]|$)`).test(key);
}

/** Whether the letter about it tells of what the owner did herself, written anew or not. */
export function isOwnDeed(
  { kind, when }: VisitNews,
  letters: readonly Told[],
  byOwner: boolean,
): boolean {
  if (byOwner) return true;
  const known = letters.findLast(isKnown);
  if (known === undefined || !isOwn(known)) return false;
  return kind === 'visit-called-off' ? known.kind === kind : tells(known, when);
}

/** Whether an owner knows what a letter tells: it left, or tells what she did herself. */
function isKnown(letter: Told): boolean {
  return isOwn(letter) || hasLeft(letter);
}

function hasLeft(letter: Told): boolean {
  return isOutOrOpen(letter) && !isUnsent(letter);
}

/**
 * A day with the time of day in UTC and a mark of the place, as it stands in a key:
 * `2026-12-03T0730@1f0c9a2e`.
 */
function whenOf(on: Day, { dropOffAt, place }: Pick<Visit, 'dropOffAt' | 'place'>): string {
  const time = dropOffAt === null ? '' : `T${dropOffAt.slice(11, 16).replace(':', '')}`;
  return `${on}${time}${place === null ? '' : `@${markOfPlace(place)}`}`;
}

/** A place typed anew with other spaces or capitals is no other place. */
function markOfPlace(place: string): string {
  const same = place.normalize('NFKC').toLowerCase().replaceAll(/\s+/g, ' ').trim();
  return createHash('sha256').update(same).digest('hex').slice(0, 8);
}

/** A letter that told no time, or no place, told nothing else than one that names it. */
function isToldAs(letter: Pick<Told, 'key'>, when: string): boolean {
  const told = whenTold(letter);
  const [, before] = told.split('@');
  const [, now] = when.split('@');
  return isSameTime(told, when) && (before === undefined || now === undefined || before === now);
}

function isSameTime(told: string, when: string): boolean {
  const [before = ''] = told.split('@');
  const [now = ''] = when.split('@');
  return before === now || (!before.includes('T') && before === now.slice(0, 10));
}

/** Whether what a letter says about a visit still holds. */
export function stillHolds(visit: Visit, letter: Pick<Told, 'kind' | 'key'>): boolean {
  if (letter.kind === 'visit-report') return visit.state === 'done';
  if (letter.kind === 'visit-called-off') return visit.state === 'cancelled';
  const { state, plannedOn } = visit;
  return state === 'booked' && plannedOn !== null && isToldAs(letter, whenOf(plannedOn, visit));
}

/** Letters that nobody has begun to send: they can still be cancelled. */
export function isUnsent({ state, startedAt }: Pick<Told, 'state' | 'startedAt'>): boolean {
  return state === 'planned' || (state === 'sending' && startedAt === null);
}

/** Neither cancelled nor come back. */
function isOutOrOpen({ state }: Told): boolean {
  return state !== 'cancelled' && state !== 'failed';
}

/** Keys read `KIND:VISIT:WHEN`, with more behind it: see `whenOf` and `OWN_MARK`. */
function whenTold({ key }: Pick<Told, 'key'>): string {
  return key.split(/[:#]/)[2] ?? '';
}

function dayTold(letter: Pick<Told, 'key'>): Day | null {
  return whenTold(letter).slice(0, 10) || null;
}
