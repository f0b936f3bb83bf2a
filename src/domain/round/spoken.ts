import type { Instant } from '../calendar/instant.ts';
import { dayIn } from '../calendar/zone.ts';
import type { OwnerFacts } from './car-facts.ts';
import type { LetterKind } from './letter-kind.ts';
import { isAlarm } from './letter-kind.ts';
import type { LetterOwed } from './letters-owed.ts';
import { isOfStay } from './move-mark.ts';
import { adviceIn } from './occasions.ts';

/** One occasion that was written about, and what became of its letter. */
export interface Spoken {
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
export function isOpen(said: Pick<Spoken, 'state' | 'started'>): boolean {
  return said.state === 'planned' || (said.state === 'sending' && !said.started);
}

/** What an owner has heard by the letters that were written and not cancelled. */
export function heardFrom(zone: string, spoken: readonly Spoken[]): Heard {
  const dayOf = ({ notBefore }: Spoken) => dayIn(zone, notBefore);
  const adviceSent = spoken
    .filter((said) => said.kind === 'care-note')
    .map((said) => ({ ...adviceIn(said.key), on: dayOf(said) }));
  return {
    adviceSent,
    // One that came back has told nobody.
    staysTold: spoken.flatMap((said) =>
      said.carId !== null && said.state !== 'failed' && isOfStay(said.key)
        ? [{ carId: said.carId, on: dayOf(said) }]
        : [],
    ),
    lastCareOn: latest(adviceSent.map(({ on }) => on)),
    lastAlarmOn: latest(spoken.filter(({ kind }) => isAlarm(kind)).map(dayOf)),
    // One that came back has reached nobody, so it takes no day.
    lastLetterOn: latest(
      spoken.filter(({ kind, state }) => !isAlarm(kind) && state !== 'failed').map(dayOf),
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
