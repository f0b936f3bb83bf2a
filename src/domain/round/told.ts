import type { Instant } from '../calendar/instant.ts';
import { dayIn } from '../calendar/zone.ts';
import type { OwnerFacts } from './car-facts.ts';
import type { LetterKind } from './letter-kind.ts';
import { isAlarm } from './letter-kind.ts';
import type { LetterOwed } from './letters-owed.ts';
import { isOfStay } from './move-mark.ts';
import { adviceIn } from './occasions.ts';

/** One occasion that was written about, and what became of its letter. */
export interface Told {
  readonly key: string;
  readonly carId: string | null;
  readonly ownerId: string;
  readonly letterId: string;
  readonly messageId: string;
  readonly kind: LetterKind;
  readonly state: string;
  readonly plannedAt: Instant;
  readonly notBefore: Instant;
  readonly started: boolean;
}

/** What an owner was told decides what may be told next. */
export type Heard = Pick<
  OwnerFacts,
  'lastCareOn' | 'lastAlarmOn' | 'lastLetterOn' | 'adviceSent' | 'staysTold'
>;

/** True for a letter that nobody has begun to send: it can still be cancelled. */
export function isOpen(one: Pick<Told, 'state' | 'started'>): boolean {
  return one.state === 'planned' || (one.state === 'sending' && !one.started);
}

/** What an owner has heard by the letters that were written and not cancelled. */
export function heardFrom(zone: string, told: readonly Told[]): Heard {
  const dayOf = ({ notBefore }: Told) => dayIn(zone, notBefore);
  const adviceSent = told
    .filter((one) => one.kind === 'care-note')
    .map((one) => ({ ...adviceIn(one.key), on: dayOf(one) }));
  return {
    adviceSent,
    // One that came back has told nobody.
    staysTold: told.flatMap((one) =>
      one.carId !== null && one.state !== 'failed' && isOfStay(one.key)
        ? [{ carId: one.carId, on: dayOf(one) }]
        : [],
    ),
    lastCareOn: latest(adviceSent.map(({ on }) => on)),
    lastAlarmOn: latest(told.filter(({ kind }) => isAlarm(kind)).map(dayOf)),
    // One that came back has reached nobody, so it takes no day.
    lastLetterOn: latest(
      told.filter(({ kind, state }) => !isAlarm(kind) && state !== 'failed').map(dayOf),
    ),
  };
}

/** The owner once a letter that is owed has been written. */
export function ownerAfter(
  owner: OwnerFacts,
  { kind, notBefore, occasions }: LetterOwed,
): OwnerFacts {
  const on = dayIn(owner.timeZone, notBefore);
  const stays = occasions.filter(({ stay }) => stay).map(({ carId }) => ({ carId, on }));
  return heardOf({ ...owner, staysTold: [...owner.staysTold, ...stays] }, kind, on, occasions);
}

function heardOf(
  owner: OwnerFacts,
  kind: LetterKind,
  on: string,
  occasions: LetterOwed['occasions'],
): OwnerFacts {
  if (isAlarm(kind)) return { ...owner, lastAlarmOn: on };
  const care = occasions.filter((occasion) => occasion.kind === 'care-note');
  if (care.length === 0) return { ...owner, lastLetterOn: on };
  const sent = care.map(({ key }) => ({ ...adviceIn(key), on }));
  const adviceSent = [...owner.adviceSent, ...sent];
  return { ...owner, lastLetterOn: on, lastCareOn: on, adviceSent };
}

function latest(days: readonly string[]): string | null {
  return days.reduce<string | null>((last, on) => (last === null || on > last ? on : last), null);
}
