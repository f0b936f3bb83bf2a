import type { OrganisationKind } from '../organisation-kind.ts';
import type { FoldFloor } from '../advice/fold-floor.ts';
import type { AdviceEvent } from '../advice/advice.ts';
import type { Day } from '../calendar/day.ts';
import type { PricedLine } from '../estimates/estimate.ts';
import type { Instant } from '../calendar/instant.ts';
import type { LogEntry } from '../folding/position-log.ts';
import type { Keeping } from '../lubrication/keeping.ts';
import type { MayMove } from '../may-move/move-verdict.ts';
import type { LetterFigures } from '../figure-tables/letter-figures.ts';
import type { Topic } from './letter-kind.ts';

export interface Warranty {
  readonly part: string;
  readonly months: number;
}

/** The fitted top of a car, as the round needs it. */
export interface TopFacts {
  readonly id: string;
  readonly fittedOn: Day;
  readonly lastOn: Day | null;
  readonly intervalMonths: number;
  readonly because: readonly string[];
  readonly dueOn: Day;
  /** The visit whose find made the oil due, where the due day had gone by before it. */
  readonly askedSince?: Day | undefined;
  readonly material: 'vinyl' | 'cloth';
  readonly window: 'glass' | 'glass-bonded' | 'clear-vinyl';
  readonly powered: boolean;
  readonly warranties: readonly Warranty[];
  /** Work advised or declined and not done yet; loaded where a warranty is near its end. */
  readonly openNotes?: readonly string[] | undefined;
  /** A lubrication visit is booked, so nobody needs to be asked for one. */
  readonly booked: boolean;
  /** The visit after which joints want to be looked at again. */
  readonly lookAfterOn: Day | null;
  /** The first visit that is booked while a look is due; a look itself counts as the first. */
  readonly lookBookedBy: Day | null;
  /** Visits for which weeks are kept; absent where none are offered. */
  readonly offers?: readonly OfferFacts[];
}

/** Weeks in which room is kept for a visit. */
export interface OfferFacts {
  readonly id: string;
  readonly kind: 'lubrication' | 'look';
  readonly weeks: readonly string[];
}

/** A care day to which the owner of a car is asked. */
export interface CareDayFacts {
  /** The car's place on the day, and how often a time was offered. */
  readonly placeId: string;
  readonly asked: number;
  readonly heldOn: Day;
  readonly place: string;
  /** Times of the day, as 'HH:MM'. */
  readonly from: string;
  readonly until: string;
}

/** An estimate that was sent and waits for the owner's answer. */
export interface EstimateFacts {
  readonly id: string;
  readonly number: number;
  readonly topId: string;
  readonly currency: string;
  readonly taxRate: number | null;
  readonly taxName: string | null;
  readonly words: string | null;
  /** Last day on which it may be accepted. */
  readonly holdsUntil: Day;
  readonly lines: readonly (PricedLine & { readonly text: string })[];
}

export interface AdviceSent {
  readonly adviceId: string;
  readonly topId: string;
  readonly on: Day;
}

export interface StayTold {
  readonly carId: string;
  readonly on: Day;
}

export interface OwnerFacts {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly addressHash: string;
  readonly timeZone: string;
  readonly language: string;
  readonly refusedTopics: readonly Topic[];
  /** Erased, or the address is known to take no mail: nothing is written. */
  readonly unreachable: boolean;
  /** Day of the last care note, in the owner's zone. */
  readonly lastCareOn: Day | null;
  /** Day of the last alarm, sent or waiting to be, in the owner's zone. */
  readonly lastAlarmOn: Day | null;
  /** Day of the last letter that was no alarm, sent or waiting to be, in the owner's zone. */
  readonly lastLetterOn: Day | null;
  /** Every advice that this owner was sent, with the top that it was about. */
  readonly adviceSent: readonly AdviceSent[];
  /** Every letter that said first of all that a car's top must stay, with its day in the owner's zone. */
  readonly staysTold: readonly StayTold[];
}

export interface OrganisationFacts {
  readonly id: string;
  readonly name: string;
  readonly kind: OrganisationKind;
  readonly postalAddress: string | null;
  readonly phone: string | null;
  readonly email: string | null;
  /** Letters leave from this hour on and before that hour, in the owner's zone. */
  readonly letterHours: readonly [number, number];
  readonly nightAlarms: boolean;
  /** Owners may choose a day for a visit by themselves; absent for no. */
  readonly takesBookings?: boolean;
  /** The rules' numbers with its own ones in them; absent where it has none of its own. */
  readonly figures?: LetterFigures | undefined;
}

/** All that decides which letters one car owes: what the store loads and the round reads. */
export interface CarFacts {
  readonly id: string;
  readonly registration: string;
  /** When its owner got it from another; absent where it is as far back as the records go. */
  readonly ownerSince?: Instant | undefined;
  readonly timeZone: string;
  readonly foldedLimitDays: number;
  readonly keeping: Keeping;
  readonly entries: readonly (LogEntry & { readonly coverOn?: boolean | null })[];
  readonly events: readonly { readonly name: AdviceEvent; readonly on: Day }[];
  readonly top: TopFacts | null;
  /** Absent where none waits. */
  readonly estimates?: readonly EstimateFacts[];
  /** How cold is too cold for moving its top; null where none is on it. */
  readonly foldFloor: FoldFloor | null;
  /** Whether the top may be moved, on the day that it is in the car's zone. */
  readonly mayMove: MayMove;
  /** Since when something that makes its top stay has been known; absent where it may be moved. */
  readonly staysSince?: Day;
  /** Care days on which its owner may choose a time; absent where none. */
  readonly careDays?: readonly CareDayFacts[];
  readonly owner: OwnerFacts;
  readonly organisation: OrganisationFacts;
  readonly lookAt: Instant | null;
}
