import type { Mark } from '../figures/figure.ts';
import type { Day } from '../calendar/day.ts';
import type { Place, Salt } from '../lubrication/keeping.ts';

/** A text in the languages that letters are written in. */
export interface Wording {
  readonly en: string;
  readonly de: string;
}

/**
 * How well an advice is supported: H handbook or standard, B maker's repair manual, bulletin or
 * measured science, M makers and sellers of covers, T trade or club practice of several voices,
 * O one or two owners, X sources disagree. Nobody graded: an empty list.
 */
export type Grade = 'H' | 'B' | 'M' | 'T' | 'O' | 'X';

/** Something that was logged or reported and that makes an advice timely. */
export type AdviceEvent =
  | 'folded-damp'
  | 'wet-logged'
  | 'folded-over-limit'
  | 'cover-not-fitted'
  | 'stiff-logged'
  | 'tailgate-seal-missing';

/**
 * When an advice is worth saying. Months are those of the northern year; those of frost are the
 * organisation's own figure.
 */
export type When =
  | { readonly kind: 'days-after-fitting'; readonly from: number; readonly to: number }
  | { readonly kind: 'years-after-fitting'; readonly from: number }
  | { readonly kind: 'frost-after-fitting'; readonly from: number; readonly to: number }
  | { readonly kind: 'month'; readonly north: readonly number[] }
  | { readonly kind: 'frost'; readonly months: 'first' | 'any' }
  | { readonly kind: 'event'; readonly name: AdviceEvent; readonly withinDays: number };

export type CoverMaterial = 'vinyl' | 'cloth';
export type WindowKind = 'glass' | 'glass-bonded' | 'clear-vinyl';

/** The tops an advice is meant for; what is not named does not matter. */
export interface MeantFor {
  readonly material?: CoverMaterial;
  readonly window?: readonly WindowKind[];
  readonly place?: readonly Place[];
  readonly salt?: readonly Salt[];
  readonly powered?: boolean;
  /** Not for a top that is known to be folded often, nor for one that was moved lately. */
  readonly seldomFolded?: true;
  /** Only for a top that may be moved without any care. */
  readonly freeToMove?: true;
  /** By its oil: given lately, or an oiling booked or asked for already; or none of these. */
  readonly oiled?: 'lately' | 'long-ago';
}

/** What brings the advice to the owner. Only care notes are chosen here. */
export type Carrier =
  | 'care-note'
  | 'folded-nearing'
  | 'folded-over'
  | 'lubrication-ahead'
  | 'visit-report'
  | 'warranty-ending'
  | 'help-page';

/** One piece of care advice. */
export interface Advice {
  readonly id: string;
  readonly text: Wording;
  readonly why: Wording;
  readonly grades: readonly Grade[];
  readonly mark: Mark;
  readonly source: Wording;
  readonly carriedBy: Carrier;
  /** Any one of these is enough. */
  readonly when: readonly When[];
  readonly for: MeantFor;
  /** It speaks of a visit to whoever writes it: nothing for a private owner to tell herself. */
  readonly byOrganisation?: true;
  /** 1 (pleasant to know) to 10 (ruins a top): the harm that heeding it prevents. A shop rule. */
  readonly harm: number;
  /** Days after fitting before which it would be wrong to say (glue, settling). */
  readonly notBeforeDay?: number;
  /** The id of an advice that says all of this one and more: this one is not said in the pause after it. */
  readonly saidWith?: string;
  /** Longer pause than the general one before it may be said again. */
  readonly repeatMonths?: number;
}

/** How a care note that leads with an advice is announced. */
export interface NoteHead {
  readonly subject: Wording;
  /**
   * What shows beside the subject before the letter is opened: a sentence that stands word for word
   * in the advice, so that the letter keeps what it promises. The reason, where nothing else is named.
   */
  readonly preheader?: Wording;
}

/** What the choice needs to know of a car and its top. */
export interface TopFacts {
  readonly fittedOn: Day;
  readonly material: CoverMaterial;
  readonly window: WindowKind;
  /** Null where nobody has told: then advice for one keeping alone is not for this top. */
  readonly keeping: { readonly place: Place | null; readonly salt: Salt | null };
  readonly powered: boolean;
  /** The day of the last oil, which is that of the fitting where there was none. */
  readonly oiledOn: Day;
  readonly oilingBooked: boolean;
  /** The reminders of its oil have begun: no note asks for it beside them. */
  readonly oilAsked: boolean;
  /** As the owner answered; null where nobody asked. */
  readonly foldsPerYear: number | null;
  /** The last day on which the log has it folded or raised. */
  readonly lastMovedOn: Day | null;
  /** It lies folded, or under a hard top. */
  readonly down: boolean;
  readonly freeToMove: boolean;
}

export interface AdviceFacts {
  readonly hemisphere: 'north' | 'south';
  readonly top: TopFacts;
  readonly events: readonly { readonly name: AdviceEvent; readonly on: Day }[];
  readonly alreadySent: readonly { readonly adviceId: string; readonly on: Day }[];
}
