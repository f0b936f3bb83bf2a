import { isDay } from '../calendar/day.ts';
import { valuesOf } from '../figures/figure.ts';
import { RUINED_STATES } from '../pivots/state.ts';
import type { Calibration } from './calibration.ts';
import { CALL_FIGURES, type CallValues } from './call-figures.ts';
import type { Cause, LossSigns } from './causes.ts';
import { causesOf } from './causes.ts';
import type { Deed } from './cures.ts';
import { costOf, deedsFor } from './cures.ts';
import type { Damage } from './damages.ts';
import { DAMAGE_WORDS, DAMAGES } from './damages.ts';
import { type EarlierCall, shareAfterCalls } from './earlier-calls.ts';

/** A car whose owner might be rung. */
export interface CallCandidate extends LossSigns {
  readonly carId: string;
  readonly ownerId: string;
  /** Minutes of an oiling of this top in this shop. */
  readonly oilMinutes: number;
  /** A visit is booked at which all bench work can be done. */
  readonly visitBooked: boolean;
  /** The verdict on moving its top is `leave`; what its own signs forbid counts without it. */
  readonly mustStay?: boolean | undefined;
  readonly refusedCalls: boolean;
  readonly lastCalls: readonly EarlierCall[];
}

export interface CallListItem {
  readonly carId: string;
  readonly ownerId: string;
  /** Bench hours that a minute of the deed is expected to save, lowered by earlier calls. */
  readonly score: number;
  /** Hours of repair and parts to be expected in eight weeks if nothing is done. */
  readonly lossHours: number;
  /** Of these, what the deed saves. */
  readonly savesHours: number;
  /** Chance of any damage in eight weeks if nothing is done. */
  readonly chance: number;
  /** Share of the score left after earlier calls; 1 if there were none. */
  readonly afterCalls: number;
  /** The one thing to do. */
  readonly deed: Deed;
  /** The causes behind the loss, the costliest first. */
  readonly causes: readonly (Cause & { readonly costHours: number })[];
  /** One line for the person who rings. */
  readonly reason: string;
}

/**
 * Whom to ring first, and for what. Each cause ruins one thing: what is ruined costs its hours and parts
 * once, whatever the number of causes: 1 − ∏ (1 − p) over them. For each car the deed that saves most
 * hours a minute of the shop's time is named, and by it the cars are ordered; ties by what it saves, then
 * by car id. Left out are cars with nothing to gain and owners who refused calls. Chances, hours and
 * minutes are shop rules; `calibration` puts the organisation's own chances in their place.
 * Throws RangeError naming the car and the field for a number that is impossible.
 */
export function callOrder(
  cars: readonly CallCandidate[],
  today: string,
  values: CallValues = valuesOf(CALL_FIGURES),
  calibration: Calibration = {},
): CallListItem[] {
  if (!isDay(today)) throw new RangeError('today is no day of the calendar');
  return cars
    .filter(({ refusedCalls }) => !refusedCalls)
    .flatMap((car) => {
      try {
        return itemOf(car, today, values, calibration);
      } catch (error) {
        if (!(error instanceof RangeError)) throw error;
        throw new RangeError(`car ${car.carId}: ${error.message}`, { cause: error });
      }
    })
    .toSorted(
      (a, b) => b.score - a.score || b.savesHours - a.savesHours || (a.carId < b.carId ? -1 : 1),
    );
}

/** Hours to be expected from causes together: each damage counted once. */
export function expectedLoss(
  causes: readonly Pick<Cause, 'damage' | 'chance'>[],
  values: CallValues,
): number {
  return DAMAGES.reduce(
    (sum, damage) => sum + chanceOfDamage(causes, damage) * costOf(damage, values),
    0,
  );
}

function chanceOfDamage(
  causes: readonly Pick<Cause, 'damage' | 'chance'>[],
  damage: Damage,
): number {
  const none = causes.reduce(
    (still, cause) => (cause.damage === damage ? still * (1 - cause.chance) : still),
    1,
  );
  return 1 - none;
}

/** What forbids moving a top whoever asks; the whole verdict is `mayMove`. */
function forbidsMoving({ stateWords, frame }: LossSigns): boolean {
  return frame === 'act' || stateWords.some(({ state }) => RUINED_STATES.has(state));
}

function itemOf(
  car: CallCandidate,
  today: string,
  values: CallValues,
  calibration: Calibration,
): CallListItem[] {
  const { carId, ownerId, oilMinutes, visitBooked } = car;
  if (!Number.isFinite(oilMinutes) || oilMinutes <= 0) {
    throw new RangeError('oilMinutes must be a finite number above zero');
  }
  const causes = causesOf(car, values, calibration);
  const lossHours = expectedLoss(causes, values);
  const savedBy = ({ cures }: Deed) =>
    lossHours -
    expectedLoss(
      causes.filter((cause) => !cures.includes(cause)),
      values,
    );
  const mustStay = car.mustStay === true || forbidsMoving(car);
  const deeds = deedsFor(causes, { oilMinutes, visitBooked, mustStay }, values)
    .map((deed) => ({ deed, savesHours: savedBy(deed) }))
    .filter(({ savesHours }) => savesHours > 0)
    .toSorted((a, b) => b.savesHours / b.deed.minutes - a.savesHours / a.deed.minutes);
  const [best] = deeds;
  if (best === undefined) return [];
  const { deed, savesHours } = best;
  const afterCalls = shareAfterCalls(car.lastCalls, today, values);
  const costed = causes
    .map((cause) => ({ ...cause, costHours: costOf(cause.damage, values) }))
    .toSorted((a, b) => b.chance * b.costHours - a.chance * a.costHours);
  return [
    {
      carId,
      ownerId,
      score: (savesHours / deed.minutes) * afterCalls,
      lossHours,
      savesHours,
      chance: 1 - DAMAGES.reduce((none, damage) => none * (1 - chanceOfDamage(causes, damage)), 1),
      afterCalls,
      deed,
      causes: costed,
      reason: reasonOf(deed, values),
    },
  ];
}

/** "ring: ask to raise it, 2 min (folded 21 days past its limit; at stake: a new cover, about 24 h)" */
function reasonOf(deed: Deed, values: CallValues): string {
  const worst = deed.cures
    .toSorted((a, b) => b.chance * costOf(b.damage, values) - a.chance * costOf(a.damage, values))
    .slice(0, 2);
  const signs = [...new Set(worst.map(({ words }) => words))].join('; ');
  const damages = [...new Set(worst.map(({ damage }) => damage))];
  const stake = damages
    .map((damage) => `${DAMAGE_WORDS[damage]}, about ${timeInWords(costOf(damage, values) * 60)}`)
    .join('; ');
  return `${deed.words}, ${timeInWords(deed.minutes)} (${signs}; at stake: ${stake})`;
}

const QUARTERS = ['', '¼', '½', '¾'] as const;

/** Minutes as a workshop says them: "45 min", "1¾ h", to the nearest quarter from an hour up. */
export function timeInWords(minutes: number): string {
  if (minutes < 60) return `${Math.round(minutes)} min`;
  const quarters = Math.round(minutes / 15);
  return `${Math.floor(quarters / 4)}${QUARTERS[quarters % 4]} h`;
}
