import type { Instant } from '../../domain/calendar/instant.ts';
import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import type { Topic } from '../../domain/round/letter-kind.ts';
import type { NewCar } from '../cars/add-car.ts';
import type { NewOwner } from '../owners/add-owner.ts';
import type { NewTop } from '../tops/fit-top.ts';
import type { NewEntry } from '../cars/log-position.ts';
import type { NewVisit } from '../visits/record-visit.ts';
import type { ClubHappening } from './scenario-club.ts';
import type { DeskHappening } from './scenario-desk.ts';
import type { GoneDayHappening } from './scenario-gone-day.ts';
import type { RoundHappening } from './scenario-rounds.ts';
import type { SeedOrganisation } from './scenario-seeds.ts';

/** One thing that was recorded, with what it was about: an owner by address, a car by registration. */
export type Happening = { readonly at: Instant } & (
  | { readonly what: 'pattern'; readonly name: string; readonly pivots: readonly PatternPivot[] }
  | { readonly what: 'owner'; readonly owner: NewOwner }
  | { readonly what: 'refusal'; readonly owner: string; readonly topics: readonly Topic[] }
  | { readonly what: 'bounce'; readonly owner: string; readonly why: string }
  | { readonly what: 'car'; readonly owner: string; readonly car: Omit<NewCar, 'ownerId'> }
  | { readonly what: 'top'; readonly car: string; readonly top: Omit<NewTop, 'carId'> }
  | {
      readonly what: 'visit';
      readonly car: string;
      readonly visit: NewVisit;
      /** False for the past: its letters went out long ago, and nobody wants them again. */
      readonly tell: boolean;
    }
  | { readonly what: 'no-show'; readonly car: string }
  | {
      readonly what: 'position';
      readonly car: string;
      readonly entry: NewEntry;
      readonly withdrawn: boolean;
    }
  | ClubHappening
  | GoneDayHappening
  | RoundHappening
  | DeskHappening
);

export interface OrganisationStory {
  readonly organisation: SeedOrganisation['organisation'];
  readonly startedAt: Instant;
  /** In the order in which they were recorded. */
  readonly happenings: readonly Happening[];
}
