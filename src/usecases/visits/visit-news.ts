import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
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
  /** What the key of its letter tells it by: the day, and the time where it has one. */
  readonly when: string;
  /** The day that the owner was told before. */
  readonly previousOn: Day | null;
}

type Visit = Pick<ToldVisitRow, 'state' | 'plannedOn' | 'doneOn' | 'dropOffAt'>;
type Told = Pick<VisitLetterRow, 'kind' | 'key' | 'state' | 'startedAt'>;

/**
 * What has to be told about a visit now, given every letter about it, oldest first; null for nothing.
 * Of days gone by nothing is told, and a report only while it is fresh.
 */
export function newsOf(
  visit: Visit,
  letters: readonly Told[],
  today: Day,
  reportDays: number,
): VisitNews | null {
  const told = lastTold(letters);
  const { state, plannedOn, doneOn } = visit;
  if (state === 'done' && doneOn !== null) {
    const known = letters.some((letter) => letter.kind === 'visit-report' && isOutOrOpen(letter));
    const fresh = doneOn <= today && addDays(doneOn, reportDays) >= today;
    if (known || !fresh) return null;
    return { kind: 'visit-report', on: doneOn, when: doneOn, previousOn: null };
  }
  if (plannedOn === null || plannedOn < today) return null;
  const toldOn = told === null ? null : dayTold(told);
  if (state === 'cancelled') {
    if (told?.kind === 'visit-called-off') return null;
    const on = toldOn ?? plannedOn;
    return { kind: 'visit-called-off', on, when: on, previousOn: null };
  }
  if (state !== 'booked') return null;
  const now = { on: plannedOn, when: whenOf(plannedOn, visit.dropOffAt) };
  if (told === null || told.kind === 'visit-called-off') {
    return { kind: 'visit-booked', ...now, previousOn: null };
  }
  return isToldAs(told, now.when) ? null : { kind: 'visit-moved', ...now, previousOn: toldOn };
}

/** A day with the time of day in UTC, as it stands in a key: `2026-12-03T0730`. */
function whenOf(on: Day, at: Instant | null): string {
  return at === null ? on : `${on}T${at.slice(11, 16).replace(':', '')}`;
}

/** A letter that told no time told nothing else than one that names it. */
function isToldAs(letter: Pick<Told, 'key'>, when: string): boolean {
  const told = letter.key.split(/[:#]/)[2] ?? '';
  return told === when || (!told.includes('T') && told === when.slice(0, 10));
}

/** Whether what a letter says about a visit still holds. */
export function stillHolds(visit: Visit, letter: Pick<Told, 'kind' | 'key'>): boolean {
  if (letter.kind === 'visit-report') return visit.state === 'done';
  if (letter.kind === 'visit-called-off') return visit.state === 'cancelled';
  const { state, plannedOn, dropOffAt } = visit;
  return state === 'booked' && plannedOn !== null && isToldAs(letter, whenOf(plannedOn, dropOffAt));
}

/** Letters that nobody has begun to send: they can still be cancelled. */
export function isUnsent({ state, startedAt }: Pick<Told, 'state' | 'startedAt'>): boolean {
  return state === 'planned' || (state === 'sending' && startedAt === null);
}

/**
 * The last letter that left. Where none did, the last one that was to leave: whoever booked a visit
 * knows of it by word of mouth, before the letter comes.
 */
function lastTold(letters: readonly Told[]): Told | null {
  const left = letters.filter((letter) => isOutOrOpen(letter) && !isUnsent(letter));
  return left.at(-1) ?? letters.filter(isUnsent).at(-1) ?? null;
}

/** Neither cancelled nor come back. */
function isOutOrOpen({ state }: Told): boolean {
  return state !== 'cancelled' && state !== 'failed';
}

/** Keys read `KIND:VISIT:DAY` or `KIND:VISIT:DAYTHHMM`, with more behind it. */
function dayTold({ key }: Pick<Told, 'key'>): Day | null {
  return key.split(/[:#]/)[2]?.slice(0, 10) ?? null;
}
