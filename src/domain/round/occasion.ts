import type { Advice } from '../advice/advice.ts';
import type { Day } from '../calendar/day.ts';
import type { Instant } from '../calendar/instant.ts';
import type { Stretch } from '../folding/clock.ts';
import type { LookDue } from '../lubrication/look-again.ts';
import type { CareDayFacts, EstimateFacts } from './car-facts.ts';
import type { LetterKind } from './letter-kind.ts';

/**
 * One reason to write about one car. The key names the occasion for ever: two rounds, early, late or
 * on two machines, find the same key, and a key is written about once.
 */
export interface Occasion {
  readonly kind: LetterKind;
  readonly key: string;
  readonly carId: string;
  /** Other keys under which as much was said, with other words about moving; nobody needs both. */
  readonly alike: readonly string[];
  /** So does every key that begins like this. */
  readonly alikeFrom?: string;
  /** The top must not be moved: the letter says so first and asks for nothing that moves it. */
  readonly stay: boolean;
  /** Steps of one matter share a ladder; a higher step makes the unsent lower ones untrue. */
  readonly detail: OccasionDetail;
}

export type OccasionDetail =
  | { readonly matter: 'lubrication'; readonly dueOn: Day; readonly lateDays: number }
  | { readonly matter: 'look'; readonly look: LookDue }
  | {
      readonly matter: 'folded';
      readonly stretch: Stretch;
      readonly coverOn: boolean | null;
      /** It stood folded before the car was its owner's, who is told nothing of that time. */
      readonly tookOverAt: Instant | null;
    }
  | { readonly matter: 'stay'; readonly since: Day }
  | { readonly matter: 'care'; readonly advice: Advice }
  | {
      readonly matter: 'offer';
      readonly offerId: string;
      readonly visit: 'lubrication' | 'look';
      readonly weeks: readonly string[];
    }
  | { readonly matter: 'care-day'; readonly day: CareDayFacts; readonly changeUntil: Day }
  | { readonly matter: 'warranty'; readonly part: string; readonly endsOn: Day }
  | { readonly matter: 'estimate'; readonly estimate: EstimateFacts };
