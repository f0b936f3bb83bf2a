import { isDay } from '../calendar/day.ts';
import { valuesOf } from '../figures/figure.ts';
import { CALL_FIGURES } from './call-figures.ts';
import type { CallValues } from './call-figures.ts';
import { causesOfDamage, combinedChance } from './damage.ts';
import type { Cause, DamageSigns } from './damage.ts';
import { shareAfterCalls } from './earlier-calls.ts';
import type { EarlierCall } from './earlier-calls.ts';

/** A car whose owner might be rung. */
export interface CallCandidate extends DamageSigns {
  readonly carId: string;
  readonly ownerId: string;
  /** Cost of the damage: bench hours, or the organisation's money where `costUnit` names it. */
  readonly repairCost: number;
  /** Minutes of the visit that would prevent it. */
  readonly minutes: number;
  readonly refusedCalls: boolean;
  readonly lastCalls: readonly EarlierCall[];
}

export interface CallListItem {
  readonly carId: string;
  readonly ownerId: string;
  /** Cost that a minute of the preventing visit is expected to save, lowered by earlier calls. */
  readonly score: number;
  /** Chance of damage in the next eight weeks. */
  readonly chance: number;
  /** Share of the score left after earlier calls; 1 if there were none. */
  readonly afterCalls: number;
  /** The signs behind the chance, the largest first. */
  readonly causes: readonly Cause[];
  /** One line for the person who rings. */
  readonly reason: string;
}

/**
 * Whom to ring first: chance of damage in eight weeks x cost of the repair / minutes that prevent
 * it, highest first, ties by chance and then by car id. The signs count as independent: the chance
 * is 1 - product of (1 - p) over them, each p a shop rule. Owners who refused calls are left out.
 * Throws RangeError naming the car and the field for a number that is impossible.
 */
export function callOrder(
  cars: readonly CallCandidate[],
  today: string,
  values: CallValues = valuesOf(CALL_FIGURES),
  costUnit = 'h',
): CallListItem[] {
  if (!isDay(today)) throw new RangeError('today is no day of the calendar');
  return cars
    .filter(({ refusedCalls }) => !refusedCalls)
    .map((car) => {
      try {
        return itemOf(car, today, values, costUnit);
      } catch (error) {
        if (!(error instanceof RangeError)) throw error;
        throw new RangeError(`car ${car.carId}: ${error.message}`, { cause: error });
      }
    })
    .toSorted((a, b) => b.score - a.score || b.chance - a.chance || (a.carId < b.carId ? -1 : 1));
}

function itemOf(
  car: CallCandidate,
  today: string,
  values: CallValues,
  costUnit: string,
): CallListItem {
  const { carId, ownerId, repairCost, minutes } = car;
  if (!Number.isFinite(repairCost) || repairCost < 0) {
    throw new RangeError('repairCost must be a finite number of zero or more');
  }
  if (!Number.isFinite(minutes) || minutes <= 0) {
    throw new RangeError('minutes must be a finite number above zero');
  }
  const causes = causesOfDamage(car, values);
  const chance = combinedChance(causes);
  const afterCalls = shareAfterCalls(car.lastCalls, today, values);
  const score = ((chance * repairCost) / minutes) * afterCalls;
  const cost = costUnit === 'h' ? timeInWords(repairCost * 60) : `${repairCost} ${costUnit}`;
  const reason = `${signsInWords(causes)}: repair about ${cost}, visit ${timeInWords(minutes)}`;
  return { carId, ownerId, score, chance, afterCalls, causes, reason };
}

/** The two strongest signs; the bare verdict only where no joint or washer explains it. */
function signsInWords(causes: readonly Cause[]): string {
  const explained = causes.some(({ kind }) => kind === 'joint' || kind === 'washers');
  const signs = explained ? causes.filter(({ kind }) => kind !== 'verdict') : causes;
  if (signs.length === 0) return 'no sign of damage';
  return signs
    .slice(0, 2)
    .map(({ words }) => words)
    .join('; ');
}

const QUARTERS = ['', '¼', '½', '¾'] as const;

/** Minutes as a workshop says them: "45 min", "1¾ h", to the nearest quarter from an hour up. */
export function timeInWords(minutes: number): string {
  if (minutes < 60) return `${Math.round(minutes)} min`;
  const quarters = Math.round(minutes / 15);
  return `${Math.floor(quarters / 4)}${QUARTERS[quarters % 4]} h`;
}
